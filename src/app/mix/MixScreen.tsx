import { goTo } from '../shell/route.ts';
import { latestOf, useDocument, useResults } from '../store/index.ts';
import { Button, Figure, Notice, Screen } from '../ui/index.ts';

export default function MixScreen() {
  const id = useDocument((d) => d.id);
  const advice = useResults((r) => r.advice);
  const best = latestOf(advice)?.suggestions[0];
  return (
    <Screen
      sentence={best?.words ?? 'No advice yet.'}
      detail={best?.why}
      next={
        <Button kind="primary" onPress={() => goTo('lights', id)}>
          Judge in the lights
        </Button>
      }
    >
      {advice.state === 'failed' && <Notice problem={advice.problem} />}
      {best && <Figure label="Expected distance" value={best.de00} interval={best.interval95} unit="ΔE00" />}
    </Screen>
  );
}
