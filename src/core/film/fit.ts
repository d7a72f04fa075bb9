import { deltaE2000 } from '../color/index.ts';
import type { Warning } from '../errors.ts';
import { checkRecipe } from './check-recipe.ts';
import { filmColour } from './colour.ts';
import { type FilmModel, type FilmState, filmModel, filmState, type Usual } from './model.ts';
import { observe } from './observe.ts';
import { type FilmPriors, PRIORS } from './priors.ts';
import { sharpen } from './sharpen.ts';
import { slipWords } from './slips.ts';
import { type Fitted, posteriorFactor, type Solution, solve, startAt } from './solve.ts';
import { starts } from './start.ts';
import { type Suspicion, suspicions } from './suspects.ts';
import type { FilmData, FilmPanel, PanelResidual } from './types.ts';
import { middleOf } from './usual.ts';

/** A fitted film model: what the panels say of the tints, the grounds and the gun. */
export interface FilmFit {
  readonly model: FilmModel;
  readonly data: FilmData;
  /** What it was fitted to, and how that came out. */
  readonly fitted: Fitted;
  readonly x: Float64Array;
  readonly state: FilmState;
  /** Lower Cholesky factor of the inverse posterior covariance of x. */
  readonly factor: Float64Array;
  readonly converged: boolean;
  readonly residuals: readonly PanelResidual[];
  /** Mean ΔE2000 between the panels used and what their recipes give. */
  readonly residual_mean_de00: number;
  readonly panels_used: number;
  readonly warnings: readonly Warning[];
}

/** What is usual in a job: the middle of what was sprayed. */
function usualOf(panels: readonly FilmPanel[]): Usual {
  const coated = panels.map((p) => p.recipe).filter((r) => r.coats > 0);
  return {
    coats: middleOf(coated.map((r) => r.coats)) ?? 3,
    carrier: middleOf(coated.map((r) => r.carrier)) ?? 5,
    reducer_pct: middleOf(coated.map((r) => r.reducer_pct)) ?? 0,
  };
}

/** Best of the starts, for tints of any kind. */
export function fitBroadly(data: FilmData, priors: FilmPriors): Fitted {
  const model = filmModel(data.tints, data.grounds, usualOf(data.panels), data.white, priors);
  const groups = observe(model, data);
  const [first, ...others] = starts(model, groups);
  let solution = solve(model, groups, startAt(groups, first));
  for (const x of others) {
    const other = solve(model, groups, startAt(groups, x), solution.objective);
    if (other.objective < solution.objective - 1e-9) solution = other;
  }
  return { model, groups, solution };
}

/**
 * Fits the film model to every measured panel of a job. Deterministic. Panels that disagree with the rest are marked,
 * not left out: leaving one out is the painter's decision. Throws `mix-invalid` or `usage` for a recipe no one can spray.
 */
export function fitFilm(data: FilmData, priors: FilmPriors = PRIORS): FilmFit {
  for (const { id, recipe } of data.panels) checkRecipe(recipe, `Panel ${JSON.stringify(id)}`, data);
  // a panel that disagrees could also mislead the kinds of the tints: panels are judged before
  const broad = fitBroadly(data, priors);
  const judged = new Map(suspicions(broad).map((s) => [s.index, s]));
  const fitted = sharpen(broad);
  const { model, groups, solution } = fitted;
  const state = filmState(model, solution.x);
  const residuals = residualsOf(fitted, state, judged);
  return {
    model,
    data,
    fitted,
    x: solution.x,
    state,
    factor: posteriorFactor(model, groups, solution),
    converged: solution.converged,
    residuals,
    residual_mean_de00: residuals.reduce((s, r) => s + r.de00, 0) / Math.max(1, residuals.length),
    panels_used: data.panels.length,
    warnings: [...data.warnings, ...fitWarnings(solution, residuals)],
  };
}

function residualsOf(
  { model, groups, solution }: Fitted,
  state: FilmState,
  judged: ReadonlyMap<number, Suspicion>,
): PanelResidual[] {
  return groups
    .flatMap((g) => g.observations)
    .map(({ panel, recipe }, i) => {
      const { lab } = panel.reading;
      const predicted = filmColour(model, state, recipe);
      const questioned = judged.get(i);
      return {
        id: panel.id,
        lab,
        predicted,
        de00: deltaE2000(lab, predicted),
        ...(questioned ? { de00_alone: questioned.de00_alone } : {}),
        film: Math.exp(model.priors.hand * solution.hands[i]),
        suspect: questioned?.suspect ?? false,
        ...(questioned?.looksLike ? { looks_like: slipWords(panel.recipe, questioned.looksLike) } : {}),
      };
    });
}

function fitWarnings(solution: Solution, residuals: readonly PanelResidual[]): Warning[] {
  const out: Warning[] = residuals
    .filter((r) => r.suspect)
    .map((r) => ({
      code: 'panel-disagrees',
      message: `${r.id} is ${(r.de00_alone ?? r.de00).toFixed(1)} away from what its recipe predicts${r.looks_like === undefined ? '' : ` and looks like ${r.looks_like}`}: check its label, its ratio and its coats, or leave it out with --leave-out ${r.id}.`,
    }));
  if (!solution.converged)
    out.push({
      code: 'fit-unsettled',
      message: 'The film model did not settle on these panels: take its answers as a hint only.',
    });
  return out;
}
