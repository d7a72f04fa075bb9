/** Every recipe a painter could mix and spray: whole parts, letdown steps, whole coats, owned grounds. */
import { ciede2000 } from '../color/ciede2000.ts';
import type { Lab } from '../color/index.ts';
import type { FilmFit, Recipe } from '../film/index.ts';
import { colourThrough, compileRecipe, filmAmount, mixAbsorbance } from '../film/model.ts';
import type { AdviseSettings } from './settings.ts';

export interface Candidate {
  readonly recipe: Recipe;
  readonly lab: Lab;
  readonly de00: number;
}

/** More tints than this are not mixed at once. */
const TINTS_AT_ONCE = 3;

const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b));

/** All ratios of whole parts in lowest terms: up to `upTo` parts of up to three of `count` tints. */
export function wholeRatios(count: number, upTo: number): number[][] {
  const out: number[][] = [];
  const parts = new Array<number>(count).fill(0);
  const fill = (tint: number, left: number, used: number): void => {
    if (tint === count) {
      if (used > 0 && parts.reduce(divisor, 0) === 1) out.push([...parts]);
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
    clear: sprayed.filter((r) => r.clear).length * 2 >= sprayed.length,
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
interface Net {
  readonly ratios: readonly (readonly number[])[];
  readonly coats: readonly number[];
  readonly count: number;
  readonly recipe: (index: number) => Recipe;
}

function netOf(habits: Habits, settings: AdviseSettings): Net {
  const ratios = wholeRatios(habits.tints.length, settings.partsUpTo);
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

/** The `most` candidates whose colour, from an even hand, is nearest to a colour; nearest first. */
export function nearestCandidates(
  fit: FilmFit,
  habits: Habits,
  settings: AdviseSettings,
  to: Lab,
  most: number,
): Candidate[] {
  const { model, state } = fit;
  const net = netOf(habits, settings);
  const grounds = habits.grounds.map((g) => model.grounds.indexOf(g));
  const off = new Float64Array(net.count);
  const terms = new Float64Array(3);
  const step = grounds.length;
  const each = habits.carriers.length * net.coats.length * step;
  // film amounts depend on letdown and coats alone
  const amounts = Array.from({ length: each / step }, (_, i) =>
    filmAmount(state, compileRecipe(model, net.recipe(i * step))),
  );
  const colour = (ratio: number, i: number): Lab =>
    colourThrough(
      model,
      state,
      absorbances[ratio],
      amounts[Math.floor(i / step)],
      grounds[i % step],
      habits.clear,
    );
  const absorbances = net.ratios.map((_, r) =>
    mixAbsorbance(model, state, compileRecipe(model, net.recipe(r * each)).fractions).slice(),
  );
  for (let r = 0; r < net.ratios.length; r++)
    for (let i = 0; i < each; i++) {
      const lab = colour(r, i);
      off[r * each + i] = ciede2000(lab[0], lab[1], lab[2], to[0], to[1], to[2], terms);
    }
  const limit = Float64Array.from(off).sort()[Math.min(most, net.count) - 1];
  const near: Candidate[] = [];
  off.forEach((de00, i) => {
    if (de00 <= limit)
      near.push({ recipe: net.recipe(i), lab: colour(Math.floor(i / each), i % each), de00 });
  });
  return near.sort((a, b) => a.de00 - b.de00).slice(0, most);
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
