import { useState } from 'react';
import { type AppProblem, tell } from '../store/index.ts';
import { Button, Notice } from '../ui/index.ts';
import { keepCopy } from './copies.ts';

/** Saves a job as a file from what this window holds, also where nothing can be stored. */
export function KeepCopyButton({ id }: { readonly id: string }) {
  const [isBusy, setBusy] = useState(false);
  const [problem, setProblem] = useState<AppProblem>();
  const keep = async (): Promise<void> => {
    setBusy(true);
    const outcome = await keepCopy(id);
    setBusy(false);
    setProblem(outcome.ok ? undefined : outcome.problem);
    if (outcome.ok)
      tell(['A copy is among your downloads.', ...outcome.value.map((w) => w.message)].join(' '));
  };
  return (
    <>
      <Button onPress={keep} isDisabled={isBusy}>
        {isBusy ? 'Packing…' : 'Keep a copy'}
      </Button>
      {problem && <Notice problem={problem} />}
    </>
  );
}
