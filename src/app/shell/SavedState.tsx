import { lazy, Suspense } from 'react';
import { retrySaving, useDocument } from '../store/document.ts';
import { Button } from '../ui/Button.tsx';
import { Notice } from '../ui/Notice.tsx';

const WORDS = { saved: 'Saved', saving: 'Saving…', failed: 'Not saved' } as const;

/** One word on whether the job on screen is stored. Read out only when it stops being so. */
export function SavedState() {
  const state = useDocument((d) => d.saved.state);
  return (
    <span className={`saved saved-${state}`} data-state={state}>
      <span className="saved-mark" aria-hidden="true" />
      {WORDS[state]}
    </span>
  );
}

const KeepCopyButton = lazy(async () => ({
  default: (await import('../jobs/KeepCopyButton.tsx')).KeepCopyButton,
}));

/** What to do when the job could not be stored. */
export function SavingProblem() {
  const id = useDocument((d) => d.id);
  const saved = useDocument((d) => d.saved);
  if (saved.state !== 'failed' || id === undefined) return null;
  return (
    <div className="shell-notice">
      <Notice
        problem={saved.problem}
        actions={
          <>
            <Suspense>
              <KeepCopyButton id={id} />
            </Suspense>
            <Button onPress={() => retrySaving()}>Try again</Button>
          </>
        }
      />
    </div>
  );
}
