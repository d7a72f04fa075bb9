import type { Job } from '../../../shared/schemas/job.ts';
import type { WhiteName } from '../../core/color/index.ts';
import { panelIn, panelName, photoIn, selectPanel, tell } from '../store/index.ts';
import { Button, Disclosure } from '../ui/index.ts';
import type { PhotoReport } from '../worker/protocol.ts';
import { TARGET, takeOutOfPhoto } from './edits.ts';
import { PanelRow } from './PanelRow.tsx';
import { photoName } from './photo-state.ts';
import { isLabelled, recipeLine } from './words.ts';

interface PanelListProps {
  readonly job: Job;
  readonly photo: string;
  readonly report: PhotoReport | undefined;
  /** What has a place in the photo, in reading order, with its mark. */
  readonly here: readonly { readonly id: string; readonly mark: string }[];
  readonly selected: string | undefined;
  readonly onOpen: (id: string) => void;
  /** Looks at another photo. */
  readonly onLook: (photo: string) => void;
  readonly onOutline: (id: string) => void;
}

/** The panels of the photo, and where the others are. */
export function PanelList({ job, photo, report, here, selected, onOpen, ...calls }: PanelListProps) {
  const white = (report?.measured.white ?? job.white) as WhiteName;
  return (
    <section className="photos-panels" aria-labelledby="photos-panels">
      <h2 id="photos-panels">Panels in this photo</h2>
      {here.length === 0 && <p>None is outlined yet.</p>}
      <ul className="photos-rows">
        {here.map(({ id, mark }) => {
          const panel = panelIn(job, id);
          const problem = report?.refused.find((r) => r.id === id)?.problem;
          return (
            <PanelRow
              key={id}
              id={id}
              mark={mark}
              name={id === TARGET ? nameOfTarget(job) : panelName(job, id)}
              recipe={panel ? recipeLine(job, panel) : 'The colour to match'}
              isLabelled={!panel || isLabelled(panel)}
              measured={report?.measured.panels.find((p) => p.id === id)}
              unread={problem ? `${problem.message} ${problem.hint}` : 'Not read yet.'}
              white={white}
              isSelected={id === selected}
              onSelect={() => selectPanel(id === selected ? undefined : id)}
            >
              <Button kind={panel && !isLabelled(panel) ? 'primary' : 'plain'} onPress={() => onOpen(id)}>
                {panel ? 'Name and recipe' : 'Name the target'}
              </Button>
              <Button
                kind="quiet"
                onPress={() => {
                  takeOutOfPhoto(id, photo);
                  tell('Taken out of this photo. Undo brings it back.');
                }}
              >
                Take out of this photo
              </Button>
            </PanelRow>
          );
        })}
      </ul>
      <Elsewhere job={job} here={here.map((h) => h.id)} {...calls} />
    </section>
  );
}

const nameOfTarget = (job: Job): string => job.target?.name?.trim() || 'Target';

interface ElsewhereProps {
  readonly job: Job;
  readonly here: readonly string[];
  readonly onLook: (photo: string) => void;
  readonly onOutline: (id: string) => void;
}

/** Panels without a place in this photo: seen in another one, or not photographed yet. */
function Elsewhere({ job, here, onLook, onOutline }: ElsewhereProps) {
  const others = job.panels.filter((p) => !here.includes(p.id));
  if (others.length === 0) return null;
  const waiting = others.filter((p) => !p.measured.some((m) => m.photo));
  return (
    <Disclosure title={`${others.length} not in this photo`} startsOpen={waiting.length > 0}>
      <ul className="photos-rows">
        {[...waiting, ...others.filter((p) => !waiting.includes(p))].map((panel) => {
          const at = panel.measured.find((m) => m.photo)?.photo;
          const photo = at === undefined ? undefined : photoIn(job, at);
          return (
            <li key={panel.id} className="photos-elsewhere">
              <span className="photos-row-words">
                <span className="photos-row-name">{panelName(job, panel.id)}</span>
                <span className="photos-row-recipe">
                  {photo ? `in ${photoName(photo)}` : 'not photographed yet'}
                </span>
              </span>
              {photo && (
                <Button
                  kind="quiet"
                  aria-label={`Show ${panelName(job, panel.id)}`}
                  onPress={() => {
                    onLook(photo.id);
                    selectPanel(panel.id);
                  }}
                >
                  Show
                </Button>
              )}
              <Button
                kind="quiet"
                aria-label={`Outline ${panelName(job, panel.id)} here`}
                onPress={() => onOutline(panel.id)}
              >
                Outline here
              </Button>
            </li>
          );
        })}
      </ul>
    </Disclosure>
  );
}
