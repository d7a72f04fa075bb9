import { useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import { panelName, photoIn } from '../store/index.ts';
import { Button } from '../ui/index.ts';
import { type Chip, Chips } from './Chips.tsx';
import { addingWords, TARGET } from './edits.ts';
import { alike, asIn, inOrder, mayBe, NEW, OUT, UNSAID } from './found.ts';
import { OutlinePicture } from './OutlinePicture.tsx';
import { photoName, waitingPanels } from './photo-state.ts';
import type { SizePx } from './quads.ts';
import type { Found } from './use-found.ts';
import { count } from './words.ts';

interface FoundPanelsProps {
  readonly job: Job;
  readonly photo: string;
  readonly size: SizePx;
  readonly found: Found;
}

/** What one outline is taken to be, in words. */
export function takenWords(job: Job, taken: string): string {
  if (taken === NEW) return 'new panel';
  if (taken === OUT) return 'left out';
  if (taken === UNSAID) return 'not said yet';
  return panelName(job, taken);
}

/** Outlines offered: each a new panel, one of the job's, or nothing. Added with one tap and one edit. */
export function FoundPanels({ job, photo, size, found }: FoundPanelsProps) {
  const { quads, taken, isGuess, current } = found;
  return (
    <section className="sheet photos-found" aria-labelledby="photos-found">
      <h2 id="photos-found" tabIndex={-1}>
        {count(quads.length, 'outline')} found. Which panel is each?
      </h2>
      {isGuess.includes(true) && (
        <p>“?” is a guess, by colour or by what is left. Choose another where it is wrong.</p>
      )}
      <Naming job={job} photo={photo} size={size} found={found} />
      <Chips
        label="Outline"
        isLabelShown
        chosen={String(current)}
        onChoose={(id) => found.choose(Number(id))}
        chips={quads.map((_, i) => ({
          id: String(i),
          words: `${i + 1}: ${takenWords(job, taken[i])}${isGuess[i] ? '?' : ''}`,
        }))}
      />
      <AtOnce job={job} photo={photo} found={found} />
    </section>
  );
}

/** Panels measured before that are offered at first: those of the nearest colours. */
const FEW = 4;

/** What the current outline is, beside a picture of it. */
function Naming({ job, photo, size, found }: FoundPanelsProps) {
  const [isAll, setAll] = useState(false);
  const { quads, taken, current } = found;
  const as = taken[current];
  const others = found.byColour(job.panels.filter((p) => p.measured.length > 0).map((p) => p.id));
  const offered = others.filter((id, i) => isAll || i < FEW || id === as);
  const named = (id: string): Chip => ({ id, words: panelName(job, id) });
  return (
    <div className="photos-naming">
      <OutlinePicture photo={photo} size={size} quad={quads[current]} />
      <Chips
        label={`Outline ${current + 1} is`}
        isLabelShown
        tellsAgain
        chosen={as === UNSAID ? undefined : as}
        onChoose={found.take}
        chips={[
          { id: NEW, words: 'A new panel' },
          { id: TARGET, words: 'The target' },
          ...waitingPanels(job).map((p) => named(p.id)),
          { id: OUT, words: 'No panel: leave it out' },
          ...offered.map(named),
        ]}
      />
      {offered.length < others.length && (
        <Button kind="quiet" onPress={() => setAll(true)}>
          {count(others.length - offered.length, 'other panel')}
        </Button>
      )}
    </div>
  );
}

/** Several outlines said with one tap. */
function AtOnce({ job, photo, found }: Pick<FoundPanelsProps, 'job' | 'photo' | 'found'>) {
  const { taken, takeAll } = found;
  const open = taken.filter((t) => t === UNSAID).length;
  const waiting = waitingPanels(job)
    .map((p) => p.id)
    .filter((id) => !taken.includes(id));
  const isAsked = mayBe(job, photo).length > 0;
  return (
    <div className="photos-actions">
      {alike(job, photo, taken)
        .slice(-3)
        .map((id) => (
          <Button key={id} onPress={() => takeAll(asIn(job, id, taken))}>
            As in {photoName(photoIn(job, id)!)}, in order
          </Button>
        ))}
      {open > 1 && waiting.length === open && (
        <Button onPress={() => takeAll(inOrder(taken, waiting))}>
          The {open} that wait, in order: {panelName(job, waiting[0])} first
        </Button>
      )}
      {open > 0 && open < taken.length && (
        <Button onPress={() => takeAll(taken.map((t) => (t === UNSAID ? NEW : t)))}>
          {open === 1 ? 'The other one is a new panel' : `The other ${open} are new panels`}
        </Button>
      )}
      {isAsked && taken.some((t) => t !== NEW) && (
        <Button onPress={() => takeAll(taken.map(() => NEW))}>
          {taken.length === 1 ? 'It is a new panel' : 'All of them are new panels'}
        </Button>
      )}
      <Button kind="quiet" onPress={found.dismiss}>
        None of these
      </Button>
    </div>
  );
}

/** Takes the outlines as they are chosen; asks on where it is not said yet which each is. */
export function AddFound({ found }: { readonly found: Found }) {
  const { taken, isGuess, add, choose } = found;
  const open = taken.indexOf(UNSAID);
  if (open >= 0)
    return (
      <Button
        kind="primary"
        onPress={() => {
          choose(open);
          const heading = document.getElementById('photos-found');
          heading?.focus({ preventScroll: true });
          heading?.scrollIntoView({ block: 'start' });
        }}
      >
        {askingWords(taken)}
      </Button>
    );
  const wanted = taken.filter((t) => t !== OUT);
  return (
    <Button kind="primary" isDisabled={wanted.length === 0} onPress={add}>
      {addingWords(wanted)}
      {isGuess.includes(true) && ', as guessed'}
    </Button>
  );
}

/** What is still to be said. */
function askingWords(taken: readonly string[]): string {
  if (taken.length === 1) return 'Say which panel it is';
  const open = taken.flatMap((t, i) => (t === UNSAID ? [i + 1] : []));
  return open.length === 1 ? `Say which panel outline ${open[0]} is` : 'Say which panel is each';
}
