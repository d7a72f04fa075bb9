/** Photos and panels by the names that the painter knows, where the core speaks of them by id. */
import type { Job } from '../../../shared/schemas/job.ts';
import { panelName } from '../store/find.ts';
import { photoName } from './photo-state.ts';

/** A photo's name as in Photos. Cameras may call every photo alike: then with its place there, too. */
export function photoInWords({ photos }: Job, id: string): string {
  const place = photos.findIndex((p) => p.id === id);
  if (place < 0) return id;
  const name = photoName(photos[place]);
  const isAlone = photos.every((p) => p.id === id || photoName(p) !== name);
  return isAlone ? name : `${name}, photo ${place + 1}`;
}

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

/** Longest first, so that none is taken for the beginning of another. */
const anyOf = (ids: readonly string[]): string =>
  [...ids]
    .sort((a, b) => b.length - a.length)
    .map(escaped)
    .join('|');

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** A sentence of the core with names in place of ids: of the panels it begins with, and of each photo it names. */
export function inWords(job: Job, sentence: string): string {
  const panels = anyOf(['target', ...job.panels.map((p) => p.id)]);
  const listed = `(?:${panels})(?:(?:, | and )(?:${panels}))*`;
  const photos = anyOf(job.photos.map((p) => p.id));
  return sentence
    .replace(new RegExp(`^${listed}(?=:| (?:has|have|was|is|are|looks|lie|in photo)\\b)`), (ids) =>
      capital(ids.replace(new RegExp(panels, 'g'), (id) => panelName(job, id))),
    )
    .replace(
      new RegExp(`(\\bphotos? )(${photos})(?:( and | than in )(${photos}))?(?![\\w-])`, 'g'),
      (_, before: string, first: string, between = '', second = '') =>
        `${before}${photoInWords(job, first)}${between}${second && photoInWords(job, second)}`,
    );
}
