import { addressOf } from '../shell/route.ts';
import { discardUnsaved, retrySaving, tell, useDocument } from '../store/index.ts';
import { Button, Notice } from '../ui/index.ts';
import { KeepCopyButton } from './KeepCopyButton.tsx';
import { nameOf } from './words.ts';

/** Jobs that only this window holds, each with its ways out. */
export function Unsaved() {
  const unsaved = useDocument((d) => d.unsaved);
  return unsaved.map(({ id, job, problem }) => (
    <Notice
      key={id}
      problem={{ ...problem, message: `${nameOf(job)} is not saved: only this window has it as it is now.` }}
      actions={
        <>
          <a className="button" href={addressOf('photos', id)}>
            Open it
          </a>
          <KeepCopyButton id={id} />
          <Button onPress={() => retrySaving(id)}>Try to save it again</Button>
          <Button
            kind="quiet"
            onPress={() => {
              discardUnsaved(id);
              tell(`${nameOf(job)} is let go.`);
            }}
          >
            Let it go
          </Button>
        </>
      }
    />
  ));
}
