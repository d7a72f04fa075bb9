import type { JobPhoto } from '../../../shared/schemas/job.ts';
import { Button, Disclosure, Figure, figuresOfLight, kindOfLight } from '../ui/index.ts';
import type { PhotoReport } from '../worker/protocol.ts';
import { leaveOut } from './edits.ts';
import { PatchList } from './PatchList.tsx';
import { StateMark } from './PhotoStrip.tsx';
import type { PhotoState } from './photo-state.ts';
import { checkSentence } from './words.ts';

interface CheckSectionProps {
  readonly photo: JobPhoto;
  readonly report: PhotoReport;
  readonly state: PhotoState;
}

/** Can this photo be trusted? One sentence, and the figures behind it. */
export function CheckSection({ photo, report, state }: CheckSectionProps) {
  const { check } = report.measured.card;
  const { light } = report.measured;
  const { worst_patch } = check;
  return (
    <section className="photos-check" aria-label="Check of the card">
      <p className="photos-check-sentence">
        <StateMark state={state} />
        <span>{checkSentence(check.mean_de00)}</span>
      </p>
      <Disclosure title="Figures of the check">
        <div className="photos-figures">
          <p>Each patch is predicted from all the others. How far off that is, as ΔE00:</p>
          <div className="photos-figure-row">
            <Figure label="On average" value={check.mean_de00} />
            <Figure
              label={worst_patch ? `At most, patch ${worst_patch}` : 'At most'}
              value={check.max_de00}
            />
          </div>
          {worst_patch && (
            <Button onPress={() => leaveOut(photo.id, worst_patch, true)}>
              Leave out patch {worst_patch}
            </Button>
          )}
          <dl className="photos-facts">
            <dt>Light</dt>
            <dd>
              {kindOfLight(light)}
              <span className="numbers"> {figuresOfLight(light)}</span>
            </dd>
            <dt>Card</dt>
            <dd>
              {report.measured.card.name}
              <span>
                {report.measured.card.found_by === 'markers' ? ' found by its markers' : ' placed by hand'}
              </span>
            </dd>
          </dl>
          <PatchList photo={photo} report={report} />
        </div>
      </Disclosure>
    </section>
  );
}
