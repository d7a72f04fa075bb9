import type { Job } from '../../../shared/schemas/job.ts';
import { panelName } from '../store/index.ts';
import { Disclosure, Notice } from '../ui/index.ts';
import type { PhotoReport } from '../worker/protocol.ts';
import { RetakeButton } from './AddPhotoButtons.tsx';
import { CaptureGuide } from './CaptureGuide.tsx';
import { faultsOf, remarksOn } from './photo-state.ts';
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
    <section className="photos-after" aria-label="What was wrong">
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

/** How to take the next one, with what else there is to know of this one. */
export function ShotGuide({ report }: Pick<ShotFaultsProps, 'report'>) {
  return (
    <Disclosure title="How a good photo is taken">
      <CaptureGuide />
      {remarksOn(report).map((w) => (
        <p key={w.code} className="photos-remark">
          {w.message}
        </p>
      ))}
    </Disclosure>
  );
}
