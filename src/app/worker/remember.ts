/** What the worker need not compute again: results by the part of the job they hang on. */
import type { Job } from '../../../shared/schemas/job.ts';
import { type ReadPhoto, thingsOf } from '../../core/measure/index.ts';

/** Keeps the last result of a step, and hands it out again while its key is the same. */
export function remember<T>(): (key: string, make: () => T) => T {
  let kept: { readonly key: string; readonly value: T } | undefined;
  return (key, make) => {
    if (kept?.key !== key) kept = { key, value: make() };
    return kept.value;
  };
}

const names = new WeakMap<object, number>();
let next = 0;

/** A number for an object, always the same for the same one. */
function nameOf(thing: object): number {
  const known = names.get(thing) ?? ++next;
  names.set(thing, known);
  return known;
}

/** What the joined colours hang on: every reading, which photos count, and which panels share their paint. */
export function colourKey(job: Job, photos: ReadonlyMap<string, ReadPhoto>): string {
  return JSON.stringify([
    job.white,
    job.photos.map(({ id, view }) => [id, view, photos.has(id) && nameOf(photos.get(id)!.card)]),
    thingsOf(job),
  ]);
}

/** What the film model hangs on besides the colours. */
export function filmKey(job: Job): string {
  return JSON.stringify([
    job.tints.map((t) => t.id),
    job.grounds.map((g) => g.id),
    job.panels.map(({ name: _name, notes: _notes, measured: _measured, ...recipe }) => recipe),
  ]);
}
