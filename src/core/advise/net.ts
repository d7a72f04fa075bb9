/** Every recipe a painter could mix and spray: whole parts, letdown steps, whole coats, owned grounds. */
import { type FilmFit, type Recipe, usuallyCleared } from '../film/index.ts';
import type { AdviseSettings } from './settings.ts';

/** More tints than this are not mixed at once. */
const TINTS_AT_ONCE = 3;

/** The greatest whole number that divides both. */
export const commonDivisor = (a: number, b: number): number => (b === 0 ? a : commonDivisor(b, a % b));

/** All ratios of whole parts in lowest terms: up to `upTo` parts of up to three of `count` tints. */
export function wholeRatios(count: number, upTo: number): number[][] {
  const out: number[][] = [];
  const parts = new Array<number>(count).fill(0);
  const fill = (tint: number, left: number, used: number): void => {
    if (tint === count) {
      if (used > 0 && parts.reduce(commonDivisor, 0) === 1) out.push([...parts]);
      return;
    }
    for (let p = 0; p <= (used < TINTS_AT_ONCE ? left : 0); p++) {
      parts[tint] = p;
      fill(tint + 1, left - p, used + (p > 0 ? 1 : 0));
    }
    parts[tint] = 0;
  };
  fill(0, upTo, 0);
  return out;
}

/** What a search starts from: the job's habits. */
export interface Habits {
  readonly clear: boolean;
  readonly reducer_pct: number;
  readonly carriers: readonly number[];
  /** Tints that were sprayed, and grounds that were measured. */
  readonly tints: readonly string[];
  readonly grounds: readonly string[];
}

export function habitsOf(fit: FilmFit, settings: AdviseSettings): Habits {
  const { data, model } = fit;
  const sprayed = data.panels.map((p) => p.recipe).filter((r) => r.coats > 0);
  const measured = new Set(data.panels.map((p) => p.recipe.ground));
  return {
    clear: usuallyCleared(sprayed),
    reducer_pct: model.usual.reducer_pct,
    carriers:
      settings.carriers ??
      letdownSteps(
        sprayed.map((r) => r.carrier),
        model.usual.carrier,
      ),
    tints: data.tints.filter((t) => sprayed.some((r) => (r.parts[t] ?? 0) > 0)),
    grounds: data.grounds.filter((g) => (settings.grounds ? settings.grounds.includes(g) : measured.has(g))),
  };
}

/** Letdowns used so far and one part either side of the usual one; a job that never lets down is left at that. */
function letdownSteps(used: readonly number[], usual: number): number[] {
  if (used.every((c) => c === 0)) return [0];
  const steps = [usual - 1, usual, usual + 1].filter((c) => c >= 0.5);
  return [...new Set([...used, ...steps])].sort((a, b) => a - b);
}

/** Every recipe of a search, by number: ratios, letdowns, coats and grounds in turn. */
export interface Net {
  readonly ratios: readonly (readonly number[])[];
  readonly coats: readonly number[];
  readonly count: number;
  readonly recipe: (index: number) => Recipe;
}

export function netOf(
  habits: Habits,
  settings: AdviseSettings,
  ratios: Net['ratios'] = wholeRatios(habits.tints.length, settings.partsUpTo),
): Net {
  const { carriers, grounds } = habits;
  const span = Math.max(0, settings.coatsUpTo - settings.coatsFrom + 1);
  const coats = Array.from({ length: span }, (_, i) => settings.coatsFrom + i);
  const recipe = (index: number): Recipe => {
    const ground = index % grounds.length;
    const coat = Math.floor(index / grounds.length) % coats.length;
    const carrier = Math.floor(index / grounds.length / coats.length) % carriers.length;
    const ratio = ratios[Math.floor(index / grounds.length / coats.length / carriers.length)];
    return {
      parts: Object.fromEntries(habits.tints.map((t, i) => [t, ratio[i]] as const).filter(([, p]) => p > 0)),
      carrier: carriers[carrier],
      coats: coats[coat],
      ground: grounds[ground],
      reducer_pct: habits.reducer_pct,
      clear: habits.clear,
    };
  };
  return { ratios, coats, count: ratios.length * carriers.length * coats.length * grounds.length, recipe };
}

/** All recipes of a search. */
export function allRecipes(habits: Habits, settings: AdviseSettings): Recipe[] {
  const { count, recipe } = netOf(habits, settings);
  return Array.from({ length: count }, (_, i) => recipe(i));
}

/** Whether a recipe that was sprayed may be sprayed again: its coats, ground and letdown are among those asked for. */
export function isWithin(
  { coats, ground, carrier }: Recipe,
  { coatsFrom, coatsUpTo, grounds, carriers }: AdviseSettings,
): boolean {
  return (
    coats >= coatsFrom &&
    coats <= coatsUpTo &&
    (grounds?.includes(ground) ?? true) &&
    (carriers?.some((c) => Math.abs(c - carrier) < 1e-9) ?? true)
  );
}

/** True when two recipes are the same mix, letdown, coats and ground. */
export function sameRecipe(a: Recipe, b: Recipe): boolean {
  return (
    a.ground === b.ground &&
    a.coats === b.coats &&
    Math.abs(a.carrier - b.carrier) < 1e-9 &&
    sameRatio(a.parts, b.parts)
  );
}

export function sameRatio(a: Recipe['parts'], b: Recipe['parts']): boolean {
  const total = (p: Recipe['parts']): number => Object.values(p).reduce((x, y) => x + y, 0);
  const [ta, tb] = [total(a), total(b)];
  return [...new Set([...Object.keys(a), ...Object.keys(b)])].every(
    (t) => Math.abs((a[t] ?? 0) / ta - (b[t] ?? 0) / tb) < 1e-9,
  );
}
