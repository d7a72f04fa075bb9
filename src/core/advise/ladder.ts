/** The ratio × coats ladder: what every step of ratio and coats would look like over a ground, and how far off it is. */
import { deltaE2000, type Lab, type WhiteName } from '../color/index.ts';
import { type FilmFit, predictColour, type Recipe, targetColour } from '../film/index.ts';
import { habitsOf, sameRatio } from './net.ts';
import { ADVISE_SETTINGS } from './settings.ts';
import type { Names } from './words.ts';

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

/** Ladders of the two tints most used, one sheet for each measured ground, at the usual letdown. */
export function ladderOf(fit: FilmFit, names: Names): Ladder {
  const habits = habitsOf(fit, ADVISE_SETTINGS);
  const { carrier } = fit.model.usual;
  const target = targetColour(fit);
  const [main, minor] = mostUsed(fit, habits.tints);
  const steps = minor === undefined ? STEPS.slice(0, 1) : STEPS;
  const coats = Array.from({ length: MOST_COATS }, (_, i) => i + 1);
  const bare = new Map<string, Lab>();
  const sheets = habits.grounds.map((ground) => {
    const recipeOf = ([a, b]: readonly [number, number], n: number): Recipe => ({
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
      subtitle:
        minor === undefined
          ? names.tint(main)
          : `${names.tint(main)} to ${names.tint(minor)}, let down ${carrier}:1`,
      columns: steps.map(([a, b]) =>
        b === 0 ? `${names.tint(main)}` : a === 0 ? names.tint(minor) : `${a}:${b}`,
      ),
      coats,
      recipes,
      cells,
      best: target && bestOf(cells),
    };
  });
  return { white: fit.data.white, target: target && { name: names.target, lab: target }, bare, sheets };
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
