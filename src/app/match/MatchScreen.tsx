import { goTo } from '../shell/route.ts';
import { latestOf, panelName, useDocument, useResults } from '../store/index.ts';
import { Button, Figure, Notice, Screen } from '../ui/index.ts';

export default function MatchScreen() {
  const id = useDocument((d) => d.id);
  const job = useDocument((d) => d.job);
  const comparison = useResults((r) => r.comparison);
  const known = latestOf(comparison);
  if (!job) return null;
  const ranked = [...(known?.target ?? [])].sort((a, b) => a.de00 - b.de00);
  const [closest] = ranked;
  return (
    <Screen
      sentence={
        closest
          ? `Closest is ${panelName(job, closest.panel)}: ${closest.words}`
          : 'Nothing to compare with the target yet.'
      }
      next={
        <Button kind="primary" onPress={() => goTo('mix', id)}>
          What to spray next
        </Button>
      }
    >
      {comparison.state === 'failed' && <Notice problem={comparison.problem} />}
      {ranked.map(({ panel, de00, interval95 }) => (
        <Figure key={panel} label={panelName(job, panel)} value={de00} interval={interval95} unit="ΔE00" />
      ))}
    </Screen>
  );
}
