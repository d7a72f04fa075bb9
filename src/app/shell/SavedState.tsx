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

/** What to do when the job could not be stored. */
export function SavingProblem() {
  const saved = useDocument((d) => d.saved);
  if (saved.state !== 'failed') return null;
  return (
    <div className="shell-notice">
      <Notice problem={saved.problem} actions={<Button onPress={() => retrySaving()}>Try again</Button>} />
    </div>
  );
}
