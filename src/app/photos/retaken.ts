/** A photo taken again from about the same place: what is outlined in it keeps the names it had. */
import type { Job } from '../../../shared/schemas/job.ts';
import { applyHomography, fitHomography } from '../../core/card/homography.ts';
import { keepNames } from '../../core/panel/outline/names.ts';
import type { PointPx, QuadPx } from '../../core/photo/types.ts';
import { placedIn, type Taken, UNSAID } from './found.ts';

interface Before {
  readonly placed: ReturnType<typeof placedIn>;
  readonly card: QuadPx | undefined;
}

/** By the new photo's id, as long as the window is open. */
const retaken = new Map<string, Before>();

/** Remembers what was outlined in a photo that another takes the place of, and where its card lay. */
export function rememberBefore(job: Job, old: string, fresh: string, card: QuadPx | undefined): void {
  // taken again before its panels were added: what the one before that showed still counts
  const placed = placedIn(job, old);
  const earlier = retaken.get(old);
  retaken.set(fresh, placed.length === 0 && earlier ? earlier : { placed, card });
}

/**
 * What each outline is by where it lies: laid over the photo before by its card where both cards are known. Undefined
 * when the photo was not taken again.
 */
export function guessAsBefore(
  photo: string,
  quads: readonly QuadPx[],
  card: QuadPx | undefined,
): readonly Taken[] | undefined {
  const before = retaken.get(photo);
  if (!before || before.placed.length === 0) return undefined;
  const known = new Set(before.placed.map((p) => p.id));
  const over = card && before.card ? fitHomography(card.flat(), before.card.flat()) : undefined;
  const toBefore = ([x, y]: PointPx): PointPx => (over ? applyHomography(over, x, y) : [x, y]);
  // none of the names that found outlines get by themselves is an id of a job
  const found = quads.map((corners_px, i) => ({ id: `found ${i}`, corners_px }));
  return keepNames(found, before.placed, toBefore).map(({ id }) => (known.has(id) ? id : UNSAID));
}
