import type { Job } from '../../../shared/schemas/job.ts';
import { panelName } from '../store/index.ts';
import { Notice } from '../ui/index.ts';
import type { PhotoReport } from '../worker/protocol.ts';
import { RetakeButton } from './AddPhotoButtons.tsx';
import { faultsOf } from './photo-state.ts';
import { named } from './words.ts';

interface ShotFaultsProps {
  readonly job: Job;
  readonly report: PhotoReport;
  readonly onRetake: (files: readonly File[]) => void;
}

/** What was wrong with this photo, and what to do: the next one is better. */
export function ShotFaults({ job, report, onRetake }: ShotFaultsProps) {
  const say = (message: string): string =>
    report.measured.panels.reduce((words, { id }) => named(words, id, panelName(job, id)), message);
  const faults = faultsOf(report).map((w) => say(w.message));
  const refused = report.refused.map(({ id, problem }) => ({
    id,
    words: `${named(problem.message, id, panelName(job, id))} ${problem.hint}`,
  }));
  if (refused.length === 0 && faults.length === 0) return null;
  return (
    <section className="photos-wrong" aria-label="What was wrong">
      {refused.map(({ id, words }) => (
        <Notice key={id} kind="problem">
          {words}
        </Notice>
      ))}
      {faults.length > 0 && (
        <Notice actions={<RetakeButton onFiles={onRetake} />}>
          <strong>What was wrong with this photo</strong>
          <ul className="photos-faults">
            {faults.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </Notice>
      )}
    </section>
  );
}
