/** Advice in a painter's words: the step in one line, the reason in one more. */
import type { Recipe } from '../film/index.ts';
import { sameRatio } from './net.ts';

/** How things are called: by the names people gave. */
export interface Names {
  readonly tint: (id: string) => string;
  readonly ground: (id: string) => string;
  readonly target: string;
}

const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight'];

export function coatsWords(coats: number): string {
  return `${NUMBERS[coats] ?? coats} ${coats === 1 ? 'coat' : 'coats'}`;
}

const plain = (v: number): string => String(Math.round(100 * v) / 100);

/** `garnet to amber 5:1`, or `garnet alone`. */
export function ratioWords(parts: Recipe['parts'], names: Names): string {
  const used = Object.entries(parts).filter(([, p]) => p > 0);
  if (used.length === 1) return `${names.tint(used[0][0])} alone`;
  const list = used.map(([t]) => names.tint(t));
  return `${list.join(list.length === 2 ? ' to ' : ', ')} ${used.map(([, p]) => plain(p)).join(':')}`;
}

/** `raise amber: garnet to amber from 6:1 to 5:1`: what changes in the mix, or that it stays. */
function mixStep(from: Recipe, to: Recipe, names: Names): string {
  if (sameRatio(from.parts, to.parts)) return `keep ${ratioWords(to.parts, names)}`;
  const tints = [...new Set([...Object.keys(from.parts), ...Object.keys(to.parts)])].filter(
    (t) => (from.parts[t] ?? 0) > 0 || (to.parts[t] ?? 0) > 0,
  );
  if (tints.length !== 2)
    return `mix ${ratioWords(to.parts, names)} instead of ${ratioWords(from.parts, names)}`;
  // the minor tint is the one a painter turns
  const [a, b] = tints;
  const minor = (from.parts[a] ?? 0) < (from.parts[b] ?? 0) ? a : b;
  const main = minor === a ? b : a;
  const rise =
    (to.parts[minor] ?? 0) * (from.parts[main] ?? 0) > (from.parts[minor] ?? 0) * (to.parts[main] ?? 0);
  const ratio = (r: Recipe): string => `${plain(r.parts[main] ?? 0)}:${plain(r.parts[minor] ?? 0)}`;
  return `${rise ? 'raise' : 'lower'} ${names.tint(minor)}: ${names.tint(main)} to ${names.tint(minor)} from ${ratio(from)} to ${ratio(to)}`;
}

/** What to do, seen from where the painter is. */
export function stepWords(from: Recipe, to: Recipe, names: Names): string {
  const steps = [mixStep(from, to, names)];
  if (Math.abs(from.carrier - to.carrier) > 1e-9)
    steps.push(`let it down ${plain(to.carrier)}:1 instead of ${plain(from.carrier)}:1`);
  steps.push(
    from.coats === to.coats
      ? `keep ${coatsWords(to.coats)}`
      : `${coatsWords(to.coats)} instead of ${NUMBERS[from.coats] ?? from.coats}`,
  );
  steps.push(
    from.ground === to.ground
      ? `stay on ${names.ground(to.ground)}`
      : `change the ground to ${names.ground(to.ground)}`,
  );
  return steps.join(', ');
}

export function recipeWords(r: Recipe, names: Names): string {
  return `${ratioWords(r.parts, names)}, ${coatsWords(r.coats)} on ${names.ground(r.ground)}`;
}

/** `about 1.4 from the lid, between 0.6 and 2.3`. */
export function distanceWords(de00: number, [low, high]: readonly [number, number], names: Names): string {
  const at = `about ${de00.toFixed(1)} from ${names.target}`;
  return low < 0.05
    ? `${at}, at most ${high.toFixed(1)}`
    : `${at}, between ${low.toFixed(1)} and ${high.toFixed(1)}`;
}

export function sentence(text: string): string {
  return `${text[0].toUpperCase()}${text.slice(1)}.`;
}
