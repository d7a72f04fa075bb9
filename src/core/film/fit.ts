import { type Lab, deltaE2000 } from '../color/index.ts';
import type { Warning } from '../errors.ts';
import { compileRecipe, type FilmModel, filmColour, filmModel, filmState, type FilmState, type Usual } from './model.ts';
import { type FilmPriors, PRIORS } from './priors.ts';
import { observe, type ObservationGroup, posteriorFactor, solve, type Solution } from './solve.ts';
import { starts } from './start.ts';
import type { FilmData, FilmPanel, PanelResidual } from './types.ts';

/** A fitted film model: what the panels say of the tints, the grounds and the gun. */
export interface FilmFit {
  readonly model: FilmModel;
  readonly data: FilmData;
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

function median(values: readonly number[], otherwise: number): number {
  if (values.length === 0) return otherwise;
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor((sorted.length - 1) / 2)];
}

/** What is usual in a job: the middle of what was sprayed. */
function usualOf(panels: readonly FilmPanel[]): Usual {
  const coated = panels.map((p) => p.recipe).filter((r) => r.coats > 0);
  return {
    coats: median(coated.map((r) => r.coats), 3),
    carrier: median(coated.map((r) => r.carrier), 5),
    reducer_pct: median(coated.map((r) => r.reducer_pct), 0),
  };
}

export interface Fitted {
  readonly model: FilmModel;
  readonly groups: readonly ObservationGroup[];
  readonly solution: Solution;
}

/** Best of the starts, without judging the panels. */
export function fitOnce(data: FilmData, priors: FilmPriors): Fitted {
  const model = filmModel(data.tints, data.grounds, usualOf(data.panels), data.white, priors);
  const groups = observe(model, data);
  const solutions = starts(model, groups).map((x) => solve(model, groups, x));
  const solution = solutions.reduce((a, b) => (b.objective < a.objective - 1e-9 ? b : a));
  return { model, groups, solution };
}

/**
 * Fits the film model to every measured panel of a job. Deterministic.
 */
export function fitFilm(data: FilmData, priors: FilmPriors = PRIORS): FilmFit {
  const { model, groups, solution } = fitOnce(data, priors);
  const state = filmState(model, solution.x);
  const residuals = residualsOf(model, state, groups, solution);
  return {
    model,
    data,
    x: solution.x,
    state,
    factor: posteriorFactor(model, groups, solution),
    converged: solution.converged,
    residuals,
    residual_mean_de00: residuals.reduce((s, r) => s + r.de00, 0) / Math.max(1, residuals.length),
    panels_used: data.panels.length,
    warnings: [],
  };
}

function residualsOf(
  model: FilmModel,
  state: FilmState,
  groups: readonly ObservationGroup[],
  solution: Solution,
): PanelResidual[] {
  return groups
    .flatMap((g) => g.observations)
    .map(({ panel }, i) => {
      const lab: Lab = panel.reading.lab;
      const predicted = filmColour(model, state, compileRecipe(model, panel.recipe));
      const film = Math.exp(model.priors.hand * solution.hands[i]);
      return { id: panel.id, lab, predicted, de00: deltaE2000(lab, predicted), film, suspect: false };
    });
}
