/** The ratio × coats ladder: what every step of ratio and coats would look like over a ground, and how far off it is. */
import { deltaE2000, type Lab, type WhiteName } from '../color/index.ts';
import { checkRecipe, type FilmFit, predictColour, type Recipe, targetColour } from '../film/index.ts';
import { habitsOf, sameRatio } from './net.ts';
import { ADVISE_SETTINGS } from './settings.ts';
import type { Suggestion } from './types.ts';
import { type Names, shortNames } from './words.ts';

export interface LadderCell {
  readonly lab: Lab;
  /** undefined without a target. */
  readonly de00: number | undefined;
  /** Ids of the panels that were sprayed so. */
  readonly panels: readonly string[];
}

/** One sheet: one ground, columns of ratios from the main tint alone to the minor one alone, rows of coats. */
export interface LadderSheet {
  readonly ground: string;
  readonly title: string;
  readonly subtitle: string;
  readonly columns: readonly string[];
  readonly coats: readonly number[];
  /** What each cell would be sprayed with. */
  readonly recipes: readonly (readonly Recipe[])[];
  /** coats.length rows of columns.length cells. */
  readonly cells: readonly (readonly LadderCell[])[];
  /** Row and column of the cell nearest to the target. */
  readonly best: readonly [number, number] | undefined;
  /** Row and column of the recipe advised, where it is over this ground. */
  readonly next: readonly [number, number] | undefined;
}

export interface Ladder {
  readonly white: WhiteName;
  readonly target: { readonly name: string; readonly lab: Lab } | undefined;
  readonly bare: ReadonlyMap<string, Lab>;
  readonly sheets: readonly LadderSheet[];
}

const STEPS: readonly (readonly [number, number])[] = [
  [1, 0],
  [8, 1],
  [6, 1],
  [5, 1],
  [4, 1],
  [3, 1],
  [5, 2],
  [2, 1],
  [3, 2],
  [1, 1],
  [1, 2],
  [1, 4],
  [0, 1],
];
const MOST_COATS = 6;

type Ratio = readonly [main: number, minor: number];

/** What is advised to be sprayed next: a sheet shows it as a cell of its own. */
export type Next = Pick<Suggestion, 'mix' | 'coats' | 'ground'>;

/**
 * Ladders of the two tints most used, one sheet for each measured ground, at the usual letdown. The sheet of the ground
 * that `next` is advised over is let down as advised, and has its ratio and coats. Throws `mix-invalid` or `usage` for a
 * `next` no one can spray.
 */
export function ladderOf(fit: FilmFit, names: Names, next?: Next): Ladder {
  const habits = habitsOf(fit, ADVISE_SETTINGS);
  if (next) checkRecipe({ ...next, ...next.mix, ...habits }, 'The next step', fit.data);
  const short = shortNames(names, fit.data.tints);
  const target = targetColour(fit);
  const [main, minor] = mostUsed(fit, habits.tints);
  const bare = new Map<string, Lab>();
  const sheets = habits.grounds.map((ground): LadderSheet => {
    const here = next?.ground === ground ? shownAs(next, main, minor) : undefined;
    const carrier = here ? here.carrier : fit.model.usual.carrier;
    const steps = minor === undefined ? STEPS.slice(0, 1) : stepsWith(here?.ratio);
    const coats = Array.from({ length: Math.max(MOST_COATS, here?.coats ?? 0) }, (_, i) => i + 1);
    const recipeOf = ([a, b]: Ratio, n: number): Recipe => ({
      ground,
      parts: { [main]: a, ...(minor === undefined ? {} : { [minor]: b }) },
      carrier,
      reducer_pct: habits.reducer_pct,
      coats: n,
      clear: habits.clear,
    });
    bare.set(ground, predictColour(fit, { ...recipeOf([1, 0], 0), parts: {} }));
    const recipes = coats.map((n) => steps.map((step) => recipeOf(step, n)));
    const cells = recipes.map((row) => row.map((recipe) => cellOf(fit, recipe, target)));
    return {
      ground,
      title: `Over ${names.ground(ground)}`,
      subtitle: `${minor === undefined ? names.tint(main) : `${short.tint(main)} to ${short.tint(minor)}`}${carrier > 0 ? `, let down ${carrier}:1` : ''}`,
      columns: steps.map(([a, b]) =>
        b === 0 ? `${short.tint(main)} alone` : a === 0 ? `${short.tint(minor ?? main)} alone` : `${a}:${b}`,
      ),
      coats,
      recipes,
      cells,
      best: target && bestOf(cells),
      next: here && [here.coats - 1, steps.findIndex((step) => shareOf(step) === shareOf(here.ratio))],
    };
  });
  return { white: fit.data.white, target: target && { name: names.target, lab: target }, bare, sheets };
}

const shareOf = ([a, b]: Ratio): number => b / (a + b);

/** The advised recipe on a ladder of two tints; undefined when it holds a third. */
function shownAs(
  { mix: { parts, carrier }, coats }: Next,
  main: string,
  minor: string | undefined,
): { ratio: Ratio; carrier: number; coats: number } | undefined {
  const others = Object.entries(parts).some(([t, p]) => p > 0 && t !== main && t !== minor);
  if (others) return undefined;
  return { ratio: [parts[main] ?? 0, minor === undefined ? 0 : (parts[minor] ?? 0)], carrier, coats };
}

/** The usual steps of ratio, and the one advised in its place among them. */
function stepsWith(ratio: Ratio | undefined): readonly Ratio[] {
  if (!ratio || STEPS.some((step) => shareOf(step) === shareOf(ratio))) return STEPS;
  return [...STEPS, ratio].sort((a, b) => shareOf(a) - shareOf(b));
}

function mostUsed(fit: FilmFit, tints: readonly string[]): readonly [string, string] {
  const use = (tint: string): number =>
    fit.data.panels.reduce((sum, { recipe }) => {
      const total = Object.values(recipe.parts).reduce((a, b) => a + b, 0);
      return sum + (recipe.coats > 0 ? (recipe.parts[tint] ?? 0) / total : 0);
    }, 0);
  const [main, minor] = [...tints].sort((a, b) => use(b) - use(a));
  return [main, minor];
}

function cellOf(fit: FilmFit, recipe: Recipe, target: Lab | undefined): LadderCell {
  const lab = predictColour(fit, recipe);
  const panels = fit.data.panels
    .filter((p) => p.recipe.coats === recipe.coats && p.recipe.ground === recipe.ground)
    .filter((p) => p.recipe.carrier === recipe.carrier && sameRatio(p.recipe.parts, recipe.parts))
    .map((p) => p.id);
  return { lab, de00: target && deltaE2000(lab, target), panels };
}

function bestOf(cells: readonly (readonly LadderCell[])[]): readonly [number, number] {
  let best: [number, number] = [0, 0];
  const off = ([r, c]: readonly [number, number]): number => cells[r][c].de00 ?? Number.POSITIVE_INFINITY;
  cells.forEach((row, r) => {
    row.forEach((_, c) => {
      if (off([r, c]) < off(best)) best = [r, c];
    });
  });
  return best;
}
