import { goTo } from '../shell/route.ts';
import { useDocument } from '../store/index.ts';
import { Button, Screen } from '../ui/index.ts';

export default function LightsScreen() {
  const id = useDocument((d) => d.id);
  return (
    <Screen
      sentence="The same panels under different lights."
      detail="Judging between lights is not built into the app yet; the command line’s compare names each photo’s light."
      next={
        <Button kind="primary" onPress={() => goTo('board', id)}>
          Keep the board
        </Button>
      }
    >
      {null}
    </Screen>
  );
}
