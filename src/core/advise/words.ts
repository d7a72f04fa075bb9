/** Advice in a painter's words: the step in one line, the reason in one more. */
import type { Recipe } from '../film/index.ts';
import { sameRatio } from './net.ts';

/** How things are called: by the names people gave. */
export interface Names {
  readonly tint: (id: string) => string;
  readonly ground: (id: string) => string;
  /** By its id when left out. */
  readonly panel?: (id: string) => string;
  readonly target: string;
}

/** A panel as people call it, else by its id. */
export const panelWords = (id: string, names: Names): string => names.panel?.(id) ?? id;

/** A step more open than this, ΔE2000, is simply not known. */
const UNKNOWN = 10;

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

/**
 * Tints without the last word that all of them share (`garnet candy` and `amber candy` are `garnet` and `amber`), as
 * people call them at the bench.
 */
export function shortNames(names: Names, tints: readonly string[]): Names {
  const lasts = new Set(tints.map((t) => lastWord(names.tint(t))));
  const [last] = lasts;
  if (tints.length < 2 || lasts.size > 1 || last === undefined) return names;
  const short = (name: string): string => name.slice(0, name.length - last.length).trimEnd();
  return { ...names, tint: (id) => short(names.tint(id)) };
}

/** The last of several words. */
const lastWord = (name: string): string | undefined => / (\S+)$/.exec(name.trim())?.[1];

/** `raise amber from 6:1 to 5:1`: what changes in the mix, or that it stays. */
function mixStep(from: Recipe, to: Recipe, names: Names): string {
  if (sameRatio(from.parts, to.parts)) return `keep ${ratioWords(to.parts, names)}`;
  const tints = [...new Set([...Object.keys(from.parts), ...Object.keys(to.parts)])].filter(
    (t) => (from.parts[t] ?? 0) > 0 || (to.parts[t] ?? 0) > 0,
  );
  const ratio = (r: Recipe, order: readonly string[]): string =>
    order.map((t) => plain(r.parts[t] ?? 0)).join(':');
  const bothHold = tints.every((t) => (from.parts[t] ?? 0) > 0 && (to.parts[t] ?? 0) > 0);
  if (!bothHold) return `mix ${ratioWords(to.parts, names)} instead of ${ratioWords(from.parts, names)}`;
  if (tints.length !== 2)
    return `mix ${ratioWords(to.parts, names)} instead of ${ratio(from, Object.keys(to.parts))}`;
  // the minor tint is the one a painter turns
  const [a, b] = tints;
  const minor = from.parts[a] < from.parts[b] ? a : b;
  const main = minor === a ? b : a;
  const rise = to.parts[minor] * from.parts[main] > from.parts[minor] * to.parts[main];
  const order = [main, minor];
  return `${rise ? 'raise' : 'lower'} ${names.tint(minor)} from ${ratio(from, order)} to ${ratio(to, order)}`;
}

/** What to do, seen from where the painter is. */
export function stepWords(from: Recipe, to: Recipe, names: Names): string {
  const steps = [mixStep(from, to, names)];
  if (Math.abs(from.carrier - to.carrier) > 1e-9)
    steps.push(`let it down ${plain(to.carrier)}:1 instead of ${plain(from.carrier)}:1`);
  const coats =
    from.coats === to.coats
      ? `keep ${coatsWords(to.coats)}`
      : `${coatsWords(to.coats)} instead of ${NUMBERS[from.coats] ?? from.coats}`;
  const ground = names.ground(to.ground);
  if (
    steps.length === 1 &&
    sameRatio(from.parts, to.parts) &&
    from.coats === to.coats &&
    from.ground === to.ground
  )
    return `keep ${ratioWords(to.parts, names)} and ${coatsWords(to.coats)} on ${ground}`;
  steps.push(
    from.ground === to.ground
      ? `${coats} on ${ground}`
      : `${coats}, over ${ground} instead of ${names.ground(from.ground)}`,
  );
  return steps.join(', ');
}

/** Why a step: how far the nearest panel is, and which way the target lies from it. */
export function closerWhy(panel: string, de00: number, way: string, names: Names): string {
  if (de00 < 0.05) return `nothing is wrong with ${panel}: it is there already`;
  const near = `the nearest so far, ${panel}, is ${de00.toFixed(1)} off`;
  return way === '' ? near : `${near}: ${names.target} is ${listed(way.split(', '))}`;
}

/** Why to spray the same again; and how the gun stood, where that explains the rest. */
export function keepWhy(panel: string, film: number): string {
  const off = Math.round(100 * (film - 1));
  const gun =
    Math.abs(off) >= 4 ? `; ${panel} came out about ${Math.abs(off)} % ${off > 0 ? 'heavy' : 'light'}` : '';
  return `no other recipe is surely closer than that of ${panel}${gun}`;
}

/** Why to spray a panel for what it tells: how open the step to the target is before it and after, ΔE2000. */
export function learnWhy(before: number, after: number): string {
  if (before > UNKNOWN)
    return 'with so few panels nobody can say where a step to the target lands; this panel tells most about it';
  return `with so few panels the step to the target may be wrong by about ${before.toFixed(1)}; this panel brings that down to about ${after.toFixed(1)}`;
}

function listed(words: readonly string[]): string {
  return words.length < 2
    ? words.join('')
    : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
}

/** `let down 4:1 instead of 5:1`; undefined where it stays as it was. */
export function letdownChange(from: number, to: number): string | undefined {
  if (Math.abs(from - to) < 1e-9) return undefined;
  const was = from > 0 ? `${plain(from)}:1` : 'not at all';
  return to > 0 ? `let down ${plain(to)}:1 instead of ${was}` : `not let down instead of ${was}`;
}

/** With `from`, the letdown it was until now, a change of it is named as one. */
export function recipeWords(r: Recipe, names: Names, from = r.carrier): string {
  const change = letdownChange(from, r.carrier);
  const letdown = change ? ` ${change}` : r.carrier > 0 ? ` let down ${plain(r.carrier)}:1` : '';
  return `${ratioWords(r.parts, names)}${letdown}, ${coatsWords(r.coats)} on ${names.ground(r.ground)}`;
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
