/** Recipes in words. */
import type { Job } from '../../../shared/schemas/job.ts';
import type { Recipe } from '../../core/film/index.ts';
import { formatNumber } from '../ui/format.ts';

const short = (value: number): string => formatNumber(value, Number.isInteger(value) ? 0 : 1);

export const tintName = (job: Job, id: string): string =>
  id === 'carrier' || id === 'reducer' ? id : (job.tints.find((t) => t.id === id)?.name ?? id);

export const groundName = (job: Job, id: string): string => job.grounds.find((g) => g.id === id)?.name ?? id;

/** `Garnet candy 5 : Amber candy 1`, or the one tint's name. */
export function ratioWords(job: Job, parts: Recipe['parts']): string {
  const used = Object.entries(parts).filter(([, p]) => p > 0);
  if (used.length === 1) return `${tintName(job, used[0][0])} alone`;
  return used.map(([id, p]) => `${tintName(job, id)}\u00a0${short(p)}`).join(' : ');
}

export const coatWords = (coats: number): string =>
  `${formatNumber(coats, 0)} ${coats === 1 ? 'coat' : 'coats'}`;

/** What is in the cup beside the tints: `let down 5:1`, `5 % reducer`. */
export const letdownParts = ({ carrier, reducer_pct }: Recipe): readonly string[] => [
  carrier > 0 ? `let down ${short(carrier)}:1` : 'not let down',
  ...(reducer_pct > 0 ? [`${short(reducer_pct)}\u00a0% reducer`] : []),
];

export const letdownWords = (recipe: Recipe): string => letdownParts(recipe).join(', ');

/** The whole recipe but its ratio: `let down 5:1, 3 coats on Pale gold, cleared`. */
export function restWords(job: Job, recipe: Recipe): string {
  const { coats, ground, clear } = recipe;
  const on = `${coatWords(coats)} on ${groundName(job, ground)}`;
  return `${letdownWords(recipe)}, ${on}, ${clear ? 'cleared' : 'not cleared'}`;
}

/** A sentence of the core, which calls tints by their ids, with their names. */
export function withTintNames(job: Job, words: string): string {
  const known = job.tints.find((t) => ` ${words}`.includes(` ${t.id} `));
  const said = known ? ` ${words}`.replace(` ${known.id} `, ` ${tintName(job, known.id)} `).trim() : words;
  return said.charAt(0).toUpperCase() + said.slice(1);
}
