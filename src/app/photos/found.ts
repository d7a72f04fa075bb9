/** Outlines found by themselves, and which panel each is taken to be. */
import type { Job } from '../../../shared/schemas/job.ts';
import { quadArea, sharedArea } from '../../core/photo/polygon.ts';
import type { QuadPx } from '../../core/photo/types.ts';
import { TARGET } from './edits.ts';
import { waitingPanels } from './photo-state.ts';
import { readingOrder } from './quads.ts';

/** `new`, `out` (not wanted), `target`, or the id of one of the job's panels. */
export type Taken = string;
export const NEW = 'new';
export const OUT = 'out';

/** Panels sprayed but not photographed yet, when there are just as many as were found; else new ones. */
export function firstGuess(job: Job, found: number): readonly Taken[] {
  const waiting = waitingPanels(job);
  return Array.from({ length: found }, (_, i) => (waiting.length === found ? waiting[i].id : NEW));
}

/** Panels, and the target, with a place in a photo, in reading order. */
export function placedIn(
  job: Job,
  photo: string,
): readonly { readonly id: string; readonly corners_px: QuadPx }[] {
  const things = [...job.panels, ...(job.target ? [{ id: TARGET, measured: job.target.measured }] : [])];
  return readingOrder(
    things.flatMap(({ id, measured }) => {
      const here = measured.find((m) => m.photo === photo && m.corners_px);
      return here?.corners_px ? [{ id, corners_px: here.corners_px }] : [];
    }),
  );
}

/** Photos in which as many things are outlined as are wanted here: the same bench in another light, most likely. */
export function alike(job: Job, photo: string, taken: readonly Taken[]): readonly string[] {
  const wanted = taken.filter((t) => t !== OUT).length;
  return job.photos.filter((p) => p.id !== photo && placedIn(job, p.id).length === wanted).map((p) => p.id);
}

/** The outlines that are wanted are, in order, what lies in another photo. */
export function asIn(job: Job, other: string, taken: readonly Taken[]): readonly Taken[] {
  const ids = placedIn(job, other).map((p) => p.id);
  let next = 0;
  return taken.map((t) => (t === OUT ? OUT : (ids[next++] ?? NEW)));
}

/** One outline is taken to be something; what was that before is new again. */
export function withTaken(taken: readonly Taken[], index: number, as: Taken): readonly Taken[] {
  return taken.map((t, i) => (i === index ? as : t === as && as !== NEW && as !== OUT ? NEW : t));
}

/** What was chosen for an outline, by the outline itself: it stays so when adding it is undone. */
const chosen = new WeakMap<QuadPx, Taken>();

export function rememberChoices(quads: readonly QuadPx[], taken: readonly Taken[]): void {
  for (const [i, quad] of quads.entries()) chosen.set(quad, taken[i]);
}

/** What was chosen for these outlines before; undefined when nothing was. Of a panel gone since, a new one. */
export function choicesBefore(job: Job, quads: readonly QuadPx[]): readonly Taken[] | undefined {
  if (!quads.some((quad) => chosen.has(quad))) return undefined;
  const known = new Set<Taken>([OUT, TARGET, ...job.panels.map((p) => p.id)]);
  return quads.map((quad) => {
    const as = chosen.get(quad) ?? NEW;
    return known.has(as) ? as : NEW;
  });
}

/** Share of the smaller of two outlines that both enclose, above which they are of the same thing. */
const SAME_THING = 0.3;

/** Outlines found that are not of what is outlined in the photo already. */
export function besides(job: Job, photo: string, found: readonly QuadPx[]): readonly QuadPx[] {
  const placed = placedIn(job, photo).map((p) => p.corners_px);
  return found.filter((quad) =>
    placed.every((other) => sharedArea(quad, other) < SAME_THING * Math.min(quadArea(quad), quadArea(other))),
  );
}
