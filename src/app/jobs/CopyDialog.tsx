import { useState } from 'react';
import type { Warning } from '../../core/errors.ts';
import { type AppProblem, tell } from '../store/index.ts';
import { Button, Checkbox, Dialog, Notice } from '../ui/index.ts';
import { keepCopy } from './copies.ts';

interface CopyDialogProps {
  readonly id: string;
  readonly name: string;
  readonly onClose: () => void;
}

/** A job as one file: to keep elsewhere, or to open on another device. */
export function CopyDialog({ id, name, onClose }: CopyDialogProps) {
  const [keepMetadata, setKeepMetadata] = useState(false);
  const [isBusy, setBusy] = useState(false);
  const [problem, setProblem] = useState<AppProblem>();
  const [warnings, setWarnings] = useState<readonly Warning[]>([]);
  const keep = async (): Promise<void> => {
    setBusy(true);
    setProblem(undefined);
    const outcome = await keepCopy(id, { keepMetadata });
    setBusy(false);
    if (!outcome.ok) return setProblem(outcome.problem);
    tell(`A copy of ${name} is among your downloads.`);
    if (outcome.value.length === 0) onClose();
    else setWarnings(outcome.value);
  };
  if (warnings.length > 0)
    return (
      <Dialog
        title={`The copy of ${name} is made`}
        isOpen
        onClose={onClose}
        actions={
          <Button kind="primary" onPress={onClose}>
            Good
          </Button>
        }
      >
        <ul className="jobs-warnings">
          {warnings.map((w) => (
            <li key={w.message}>{w.message}</li>
          ))}
        </ul>
      </Dialog>
    );
  return (
    <Dialog
      title={`Keep a copy of ${name}`}
      isOpen
      onClose={onClose}
      actions={
        <Button kind="primary" onPress={keep} isDisabled={isBusy}>
          {isBusy ? 'Packing…' : 'Keep the copy'}
        </Button>
      }
    >
      <p>One file with the job, its photos and a checksum of each. This page and the command line read it.</p>
      <Checkbox isSelected={keepMetadata} onChange={setKeepMetadata}>
        With the place, serial numbers and owner that the camera wrote into the photos
      </Checkbox>
      {problem && <Notice problem={problem} />}
    </Dialog>
  );
}
