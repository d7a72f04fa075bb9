import type { Lab } from '../color/index.ts';
import { type DrawnDifference, differenceOfDraws } from '../compare/difference-of-draws.ts';
import { halfWidths95 } from '../compare/half-widths.ts';
import type { LabEnsemble } from '../correction/types.ts';
import type { Warning } from '../errors.ts';
import type { Vec3 } from '../math/linear.ts';
import { checkRecipe } from './check-recipe.ts';
import type { FilmFit } from './fit.ts';
import {
  type PosteriorDraws,
  posteriorDraws,
  predictColour,
  predictDraws,
  targetColour,
  targetDraws,
} from './predict.ts';
import type { FilmPanel, Recipe } from './types.ts';

/** The film model's colour for a panel not sprayed yet. */
export interface Prediction {
  readonly lab: Lab;
  /** Half-widths of the 95 % intervals of L*, a*, b* of a panel sprayed and measured without error. */
  readonly u95: Vec3;
  /** null without a target. */
  readonly de00_to_target: number | null;
  readonly interval95: readonly [number, number] | null;
  readonly basis: { readonly panels_used: number; readonly residual_mean_de00: number };
  readonly warnings: readonly Warning[];
}

/** Throws `mix-invalid` or `usage` for a recipe no one can spray with the tints and grounds of the job. */
export function predict(
  fit: FilmFit,
  recipe: Recipe,
  draws: PosteriorDraws = posteriorDraws(fit),
  called: Called = IDS,
): Prediction {
  checkRecipe(recipe, 'The recipe', fit.data);
  const colours = predictedColours(fit, draws, recipe);
  const difference = colours.ids.length > 1 ? differenceOfDraws(colours, 0, 1) : undefined;
  return {
    lab: colours.lab[0],
    u95: halfWidths95(colours, 0),
    de00_to_target: difference?.de00 ?? null,
    interval95: difference?.interval95 ?? null,
    basis: { panels_used: fit.panels_used, residual_mean_de00: fit.residual_mean_de00 },
    warnings: [...fit.warnings, ...stretches(fit, recipe, called)],
  };
}

/** The predicted colour and, where there is one, the target, as draws that share what they share. */
export function predictedColours(fit: FilmFit, draws: PosteriorDraws, recipe: Recipe): LabEnsemble {
  const count = draws.states.length;
  const panel = predictDraws(fit, draws, recipe);
  const target = targetDraws(fit, draws);
  const lab = predictColour(fit, recipe);
  const centre = targetColour(fit);
  if (!target || !centre)
    return { white: fit.data.white, ids: ['prediction'], lab: [lab], count, draws: panel };
  const both = new Float64Array(6 * count);
  for (let k = 0; k < count; k++) {
    both.set(panel.subarray(3 * k, 3 * k + 3), 6 * k);
    both.set(target.subarray(3 * k, 3 * k + 3), 6 * k + 3);
  }
  return { white: fit.data.white, ids: ['prediction', 'target'], lab: [lab, centre], count, draws: both };
}

/** Difference of a recipe's panel from the target, or undefined without one. */
export function differenceToTarget(
  fit: FilmFit,
  draws: PosteriorDraws,
  recipe: Recipe,
): DrawnDifference | undefined {
  const colours = predictedColours(fit, draws, recipe);
  return colours.ids.length > 1 ? differenceOfDraws(colours, 0, 1) : undefined;
}

const share = (r: Recipe, tint: string): number =>
  (r.parts[tint] ?? 0) / Object.values(r.parts).reduce((a, b) => a + b, 0);

/** What tints and grounds are called, by their ids. */
export interface Called {
  readonly tint: (id: string) => string;
  readonly ground: (id: string) => string;
}
const IDS: Called = { tint: (id) => id, ground: (id) => id };

/** Where a recipe leaves what has been sprayed. */
export function stretches(fit: FilmFit, recipe: Recipe, called: Called = IDS): Warning[] {
  const out: Warning[] = [];
  const warn = (code: string, message: string): void => {
    out.push({ code, message });
  };
  const { panels, tints } = fit.data;
  const sprayed = panels.filter((p) => p.recipe.coats > 0);
  const ground = capital(called.ground(recipe.ground));
  const over = panels.filter((p) => p.recipe.ground === recipe.ground);
  if (over.length === 0)
    warn(
      'ground-unseen',
      `${ground} has not been measured, neither bare nor sprayed: this is a guess. Measure it bare.`,
    );
  else if (!over.some((p) => p.recipe.coats === 0))
    warn('ground-not-bare', `${ground} has not been measured bare: measure it once, it costs no paint.`);
  if (recipe.coats === 0) return out;
  for (const tint of tints) {
    const wanted = share(recipe, tint);
    const seen = sprayed.map((p) => share(p.recipe, tint));
    const [least, most] = [Math.min(...seen), Math.max(...seen)];
    const name = capital(called.tint(tint));
    // of two tints, the one that there is more of says it all
    const less = wanted < least - 0.15 && tints.length > 2;
    if (wanted > 0 && most === 0)
      warn('tint-unseen', `${name} has not been sprayed in this job: its colour is a guess.`);
    else if (wanted > most + 0.15 || less)
      warn(
        'ratio-outside',
        `${name} at ${percent(wanted)} of the tints lies well outside what was sprayed (${least === most ? '' : `${percent(least)} to `}${percent(most)}).`,
      );
  }
  outside(out, recipe, sprayed);
  if (!recipe.clear && !panels.some((p) => !p.recipe.clear))
    warn('uncleared-unseen', 'Every panel so far is cleared: how an uncleared one looks is a guess.');
  if (recipe.clear && panels.every((p) => !p.recipe.clear))
    warn('cleared-unseen', 'No panel so far is cleared: how a cleared one looks is a guess.');
  return out;
}

function outside(out: Warning[], recipe: Recipe, sprayed: readonly FilmPanel[]): void {
  const coats = sprayed.map((p) => p.recipe.coats);
  const most = Math.max(...coats);
  if (recipe.coats > most)
    out.push({
      code: 'more-coats',
      message: `${recipe.coats} coats is more than ever sprayed here (${most}).`,
    });
  const carriers = sprayed.map((p) => p.recipe.carrier);
  const [low, high] = [Math.min(...carriers), Math.max(...carriers)];
  if (recipe.carrier > 1.25 * high + 0.5 || recipe.carrier < 0.75 * low - 0.5)
    out.push({
      code: 'letdown-outside',
      message: `${recipe.carrier} parts carrier lies outside what was sprayed (${low === high ? low : `${low} to ${high}`}).`,
    });
}

const capital = (text: string): string => `${text[0].toUpperCase()}${text.slice(1)}`;
const percent = (v: number): string => `${Math.round(100 * v)} %`;
