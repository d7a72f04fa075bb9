import type { Job } from '../../../shared/schemas/job.ts';
import { panelName, photoIn } from '../store/index.ts';
import { Button } from '../ui/index.ts';
import { type Chip, Chips } from './Chips.tsx';
import { addingWords, TARGET } from './edits.ts';
import { alike, asIn, NEW, OUT } from './found.ts';
import { photoName, waitingPanels } from './photo-state.ts';
import type { Found } from './use-found.ts';
import { count } from './words.ts';

interface FoundPanelsProps {
  readonly job: Job;
  readonly photo: string;
  readonly found: Found;
}

/** What one outline is taken to be, in words. */
export function takenWords(job: Job, taken: string): string {
  if (taken === NEW) return 'new panel';
  if (taken === OUT) return 'left out';
  return panelName(job, taken);
}

/** Outlines offered: each a new panel, one of the job's, or nothing. Added with one tap and one edit. */
export function FoundPanels({ job, photo, found }: FoundPanelsProps) {
  const { quads, taken, current } = found;
  const sameAs = alike(job, photo, taken).slice(-3);
  const waiting = waitingPanels(job);
  const others = job.panels.filter((p) => p.measured.length > 0);
  const named = (id: string): Chip => ({ id, words: panelName(job, id) });
  return (
    <section className="sheet photos-found" aria-labelledby="photos-found">
      <h2 id="photos-found">{count(quads.length, 'outline')} found. Which panel is each?</h2>
      {sameAs.length > 0 && (
        <div className="photos-chips-field">
          <span className="field-label">The same bench as before?</span>
          <div className="photos-actions">
            {sameAs.map((id) => (
              <Button key={id} onPress={() => found.takeAll(asIn(job, id, taken))}>
                As in {photoName(photoIn(job, id)!)}, in order
              </Button>
            ))}
          </div>
        </div>
      )}
      <Chips
        label="Outline"
        isLabelShown
        chosen={String(current)}
        onChoose={(id) => found.choose(Number(id))}
        chips={quads.map((_, i) => ({ id: String(i), words: `${i + 1}: ${takenWords(job, taken[i])}` }))}
      />
      <Chips
        label={`Outline ${current + 1} is`}
        isLabelShown
        tellsAgain
        chosen={taken[current]}
        onChoose={found.take}
        chips={[
          { id: NEW, words: 'A new panel' },
          { id: OUT, words: 'No panel: leave it out' },
          { id: TARGET, words: 'The target' },
          ...[...waiting, ...others].map((p) => named(p.id)),
        ]}
      />
      <div className="photos-actions">
        <Button kind="quiet" onPress={found.dismiss}>
          None of these
        </Button>
      </div>
    </section>
  );
}

/** Takes the outlines as they are chosen. */
export function AddFound({ found: { taken, add } }: { readonly found: Found }) {
  const wanted = taken.filter((t) => t !== OUT);
  return (
    <Button kind="primary" isDisabled={wanted.length === 0} onPress={add}>
      {addingWords(wanted)}
    </Button>
  );
}
