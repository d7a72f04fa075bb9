/** Least squares for the film model: Levenberg–Marquardt on its whitened unknowns. */
import { cholesky, choleskySolve } from '../math/linear.ts';
import type { FilmModel } from './model.ts';
import {
  linearise,
  type NormalEquations,
  normalEquations,
  nuisancesAfter,
  objective,
} from './normal-equations.ts';
import type { ObservationGroup } from './observe.ts';
import type { Unknowns } from './unknowns.ts';

export interface Solution extends Unknowns {
  readonly objective: number;
  readonly converged: boolean;
  readonly steps: number;
}

/** A model with what it was fitted to and how it came out. */
export interface Fitted {
  readonly model: FilmModel;
  readonly groups: readonly ObservationGroup[];
  readonly solution: Solution;
}

const LIMIT = 80;
/** A step that lowers the objective by a smaller share ends the search. */
const SMALL_GAIN = 5e-5;
/** … or by this share, when it is still above a solution known already. */
const HOPELESS_GAIN = 0.02;

/** A start from the model's unknowns alone: even hands, no shared errors. */
export function startAt(groups: readonly ObservationGroup[], x: Float64Array): Unknowns {
  const panels = groups.reduce((sum, g) => sum + g.observations.length, 0);
  return { x, hands: new Float64Array(panels), shared: new Float64Array(3 * groups.length) };
}

/**
 * Minimises Σ Huber(‖residual‖²) + ‖unknowns‖² from a start. With `beat`, the search is given up once it slows down
 * above that objective.
 */
export function solve(
  model: FilmModel,
  groups: readonly ObservationGroup[],
  start: Unknowns,
  beat = Number.NEGATIVE_INFINITY,
): Solution {
  const equations = normalEquations(model, groups);
  let at = start;
  let now = linearise(equations, at);
  let lambda = 1e-2;
  for (let steps = 1; steps <= LIMIT; steps++) {
    const next = moved(equations, at, lambda);
    const there = next ? objective(equations, next) : Number.POSITIVE_INFINITY;
    if (next && there <= now) {
      const gain = (now - there) / (1 + there);
      at = next;
      now = there;
      // slowing down above what is to be beaten: the same valley again, or a worse one
      const hopeless = gain < HOPELESS_GAIN && there > beat - HOPELESS_GAIN;
      if (gain < SMALL_GAIN || hopeless) return { ...at, objective: now, converged: true, steps };
      linearise(equations, at);
      lambda = Math.max(1e-9, lambda / 5);
    } else {
      lambda *= 4;
      // no way down is left at any length of step
      if (lambda > 1e9) return { ...at, objective: now, converged: true, steps };
    }
  }
  return { ...at, objective: now, converged: false, steps: LIMIT };
}

/** Lower Cholesky factor of the inverse posterior covariance of x at a solution. */
export function posteriorFactor(
  model: FilmModel,
  groups: readonly ObservationGroup[],
  solution: Unknowns,
): Float64Array {
  const equations = normalEquations(model, groups);
  linearise(equations, solution);
  return cholesky(equations.matrix, model.size, 1e-10);
}

/** The damped step, or undefined when the damped matrix has no Cholesky factor. */
function moved(e: NormalEquations, at: Unknowns, lambda: number): Unknowns | undefined {
  const n = e.model.size;
  const damped = e.matrix.slice();
  for (let i = 0; i < n; i++) damped[i * n + i] *= 1 + lambda;
  const dx = e.gradient.slice();
  try {
    choleskySolve(cholesky(damped, n), n, dx);
  } catch {
    return undefined;
  }
  for (let i = 0; i < n; i++) dx[i] = -dx[i];
  const { hands, shared } = nuisancesAfter(e, dx);
  // nuisances follow as far as the damping lets the rest go
  const follow = 1 / (1 + lambda);
  return {
    x: at.x.map((v, i) => v + dx[i]),
    hands: at.hands.map((v, i) => v + follow * (hands[i] - v)),
    shared: at.shared.map((v, i) => v + follow * (shared[i] - v)),
  };
}
