import { goTo } from '../shell/route.ts';
import { useDocument } from '../store/index.ts';
import { Button, Screen } from '../ui/index.ts';

export default function BoardScreen() {
  const id = useDocument((d) => d.id);
  return (
    <Screen
      sentence="The documented sample board."
      detail="Drawing the board is not built into the app yet."
      next={
        <Button kind="primary" onPress={() => goTo('photos', id)}>
          Back to the photos
        </Button>
      }
    >
      {null}
    </Screen>
  );
}
