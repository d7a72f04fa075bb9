/** What outlines found in a photo are by their colour, beside what is known of the job. A guess, and shown as one. */
import type { Job } from '../../../shared/schemas/job.ts';
import { deltaE2000, type Lab } from '../../core/color/index.ts';
import { mayBe, type Taken, UNSAID } from './found.ts';
import { waitingPanels } from './photo-state.ts';

/** A colour measured before: of a panel, or of the target. */
export interface KnownColour {
  readonly id: string;
  readonly lab: Lab;
}

/** ΔE2000 within which a thing comes back in another photo. */
const NEAR = 2;
/** ΔE2000 by which everything else that it could be lies farther off. */
const CLEAR = 2;

interface Match {
  readonly index: number;
  readonly id: string;
}

/**
 * What was said of each outline, and where nothing was, what it is by its colour: only where that one thing is near, and
 * no other thing and no other outline nearly as near. One panel that waits is the one outline that is left. A panel
 * that waits may look like any other, so nothing is guessed when fewer outlines are left than panels wait.
 */
export function withGuesses(
  job: Job,
  photo: string,
  said: readonly Taken[],
  labs: readonly (Lab | undefined)[],
  known: readonly KnownColour[],
): readonly Taken[] {
  const open = said.flatMap((as, i) => (as === UNSAID ? [i] : []));
  const free = mayBe(job, photo).filter((id) => !said.includes(id));
  const matches = clearMatches(
    open,
    labs,
    known.filter(({ id }) => free.includes(id)),
  );
  const waiting = waitingPanels(job).filter(({ id }) => free.includes(id));
  const left = open.filter((i) => !matches.some((m) => m.index === i));
  if (waiting.length > left.length) return said;
  const byElimination =
    waiting.length === 1 && left.length === 1 ? [{ index: left[0], id: waiting[0].id }] : [];
  const guesses = new Map([...matches, ...byElimination].map(({ index, id }) => [index, id]));
  return said.map((as, i) => guesses.get(i) ?? as);
}

function clearMatches(
  open: readonly number[],
  labs: readonly (Lab | undefined)[],
  known: readonly KnownColour[],
): readonly Match[] {
  const pairs = open.flatMap((index) => {
    const lab = labs[index];
    return lab ? known.map(({ id, lab: other }) => ({ index, id, off: deltaE2000(lab, other) })) : [];
  });
  return pairs.filter(
    ({ index, id, off }) =>
      off <= NEAR &&
      pairs.every(
        (other) =>
          (other.index === index) === (other.id === id) || // itself, or about other things altogether
          other.off >= off + CLEAR,
      ),
  );
}

/** Panels by how near they are to a colour; those of unknown colour last, in their order. */
export function nearestFirst(
  panels: readonly string[],
  lab: Lab | undefined,
  known: readonly KnownColour[],
): readonly string[] {
  if (!lab) return panels;
  const off = new Map(known.map((k) => [k.id, deltaE2000(lab, k.lab)]));
  const of = (id: string): number => off.get(id) ?? Number.MAX_VALUE;
  return [...panels].sort((a, b) => of(a) - of(b));
}
