/** Outlines found by themselves, and which panel each is taken to be. */
import type { Job, Measured } from '../../../shared/schemas/job.ts';
import { quadArea, sharedArea } from '../../core/photo/polygon.ts';
import type { QuadPx } from '../../core/photo/types.ts';
import { TARGET } from './edits.ts';
import { readingOrder } from './quads.ts';

/** `new`, `out` (not wanted), `target`, the id of one of the job's panels, or `unsaid`: nobody said yet. */
export type Taken = string;
export const NEW = 'new';
export const OUT = 'out';
export const UNSAID = 'unsaid';

/** What of the job an outline in a photo may be: all that has no place there yet. */
export function mayBe(job: Job, photo: string): readonly string[] {
  const isHere = ({ measured }: { readonly measured: readonly Measured[] }): boolean =>
    measured.some((m) => m.photo === photo && m.corners_px);
  const { target } = job;
  return [
    ...(target && target.measured.length > 0 && !isHere(target) ? [TARGET] : []),
    ...job.panels.filter((p) => !isHere(p)).map((p) => p.id),
  ];
}

/** Nothing is said of any outline; where the job has nothing that they may be, all are new panels. */
export const newWhereAlone = (job: Job, photo: string, said: readonly Taken[]): readonly Taken[] =>
  mayBe(job, photo).length > 0 ? said : said.map((as) => (as === UNSAID ? NEW : as));

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

/** The outlines that are open are, in order, these panels. */
export function inOrder(taken: readonly Taken[], panels: readonly string[]): readonly Taken[] {
  let next = 0;
  return taken.map((t) => (t === UNSAID ? (panels[next++] ?? UNSAID) : t));
}

/** One outline is taken to be something; what was said to be that before is open again. */
export function withTaken(taken: readonly Taken[], index: number, as: Taken): readonly Taken[] {
  return taken.map((t, i) => (i === index ? as : t === as && as !== NEW && as !== OUT ? UNSAID : t));
}

/** What was chosen for an outline, by the outline itself: it stays so when adding it is undone. */
const chosen = new WeakMap<QuadPx, Taken>();

export function rememberChoices(quads: readonly QuadPx[], taken: readonly Taken[]): void {
  for (const [i, quad] of quads.entries()) chosen.set(quad, taken[i]);
}

/** What was chosen for these outlines before; undefined when nothing was. A panel gone since is none. */
export function choicesBefore(job: Job, quads: readonly QuadPx[]): readonly Taken[] | undefined {
  if (!quads.some((quad) => chosen.has(quad))) return undefined;
  const known = new Set<Taken>([NEW, OUT, TARGET, ...job.panels.map((p) => p.id)]);
  return quads.map((quad) => {
    const as = chosen.get(quad) ?? UNSAID;
    return known.has(as) ? as : UNSAID;
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
