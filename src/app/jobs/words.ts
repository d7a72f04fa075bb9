/** Jobs in words. */
import type { Job } from '../../../shared/schemas/job.ts';
import type { JobRow } from '../library/database.ts';
import { coatWords, groundName, ratioWords } from '../mix/recipe-words.ts';
import { panelIn } from '../store/index.ts';
import { formatNumber } from '../ui/index.ts';

export const nameOf = (job: Job): string => job.name.trim() || 'Unnamed job';

export const count = (n: number, thing: string): string =>
  `${formatNumber(n, 0)} ${thing}${n === 1 ? '' : 's'}`;

/** `12 panels, 4 photos, 2 tints` */
export function contentsOf({ panels, photos, tints }: Job): string {
  const parts = [
    ...(panels.length > 0 ? [count(panels.length, 'panel')] : []),
    ...(photos.length > 0 ? [count(photos.length, 'photo')] : []),
    ...(tints.length > 0 ? [count(tints.length, 'tint')] : []),
  ];
  return parts.join(', ') || 'Nothing in it yet';
}

/** The name, or with the first number after it that no job has. */
export function freeName(wanted: string, jobs: readonly JobRow[]): string {
  const taken = new Set(jobs.map((r) => r.job.name));
  let name = wanted;
  for (let n = 2; taken.has(name); n++) name = `${wanted} ${n}`;
  return name;
}

/** How a panel was sprayed, as far as it is known: `Garnet candy 5 : Amber candy 1, 3 coats on Pale gold`. */
export function recipeOf(job: Job, id: string): string {
  const panel = panelIn(job, id);
  if (!panel) return '';
  const { mix, coats, ground, clear } = panel;
  const on = ground === undefined ? '' : ` on ${groundName(job, ground)}`;
  const sprayed =
    coats === undefined
      ? on.trim()
      : coats === 0
        ? `bare${on && ` ${groundName(job, ground!)}`}`
        : `${coatWords(coats)}${on}`;
  return [
    ...(mix && coats !== 0 ? [ratioWords(job, mix.parts)] : []),
    ...(sprayed ? [sprayed] : []),
    ...(clear ? ['cleared'] : []),
  ].join(', ');
}
