/** What a fit expects of a panel it has not seen, and how well a reading agrees with it. */
import { deltaE2000, type Lab } from '../color/index.ts';
import { invert3, type Mat3, solveLower } from '../math/linear.ts';
import { filmDerivatives } from './derivatives.ts';
import { atLeast } from './frame.ts';
import { type CompiledRecipe, type FilmModel, type FilmState, filmState } from './model.ts';
import type { Observation, ObservationGroup } from './observe.ts';
import { writeRows } from './residual.ts';
import { posteriorFactor, type Solution } from './solve.ts';

/** A fit ready to be asked. */
export interface Seen {
  readonly model: FilmModel;
  readonly state: FilmState;
  /** Lower Cholesky factor of the inverse posterior covariance. */
  readonly factor: Float64Array;
}

export function seenBy(model: FilmModel, groups: readonly ObservationGroup[], solution: Solution): Seen {
  return { model, state: filmState(model, solution.x), factor: posteriorFactor(model, groups, solution) };
}

/** A reading against a recipe, whitened by the reading's own error. */
interface Comparison {
  readonly off: readonly number[];
  /** Covariance of measuring, misfit and hand; and of what the fit leaves open (J Σ Jᵀ). */
  readonly scatter: readonly number[];
  readonly open: readonly number[];
  readonly lab: Lab;
}

function compare({ model, state, factor }: Seen, o: Observation, recipe: CompiledRecipe): Comparison {
  const n = model.size;
  const jacobian = new Float64Array(3 * n);
  const byHand = new Float64Array(3);
  const lab = filmDerivatives(model, state, recipe, 0, jacobian, byHand);
  const { toUnit: u, sharedUnit: q } = o;
  const times = (v: ArrayLike<number>): number[] =>
    [0, 1, 2].map((c) => u[3 * c] * v[0] + u[3 * c + 1] * v[1] + u[3 * c + 2] * v[2]);
  const hand = times(byHand).map((v) => model.priors.hand * v);
  const rows = new Float64Array(3 * n);
  writeRows(o, jacobian, n, rows);
  for (let c = 0; c < 3; c++) solveLower(factor, n, rows.subarray(c * n, (c + 1) * n));
  const scatter = [1, 0, 0, 0, 1, 0, 0, 0, 1];
  const open = new Array<number>(9).fill(0);
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++) {
      const at = 3 * i + j;
      scatter[at] += hand[i] * hand[j];
      if (q) for (let k = 0; k < 3; k++) scatter[at] += q[3 * i + k] * q[3 * j + k];
      for (let k = 0; k < n; k++) open[at] += rows[i * n + k] * rows[j * n + k];
    }
  return { off: times(lab.map((v, c) => v - o.panel.reading.lab[c])), scatter, open, lab };
}

/** Squared distance of a panel from its recipe in a fit that has seen it: linear, so a first sieve only. */
export function distanceInside(seen: Seen, o: Observation): number {
  const { off, scatter, open } = compare(seen, o, o.recipe);
  // a panel that the fit bends to keeps little of its scatter; the floor keeps the matrix invertible
  return quadratic(atLeast(scatter.map((v, i) => v - open[i]) as unknown as Mat3, 0.15), off);
}

export interface Agreement {
  /** Squared distance in units of what hand, measuring and the fit allow. */
  readonly distance: number;
  /** ln of the determinant of that allowance. */
  readonly lnAllowance: number;
  readonly de00: number;
}

/** How well a panel's reading agrees with a recipe, in a fit that has not seen the panel. */
export function agreement(seen: Seen, o: Observation, recipe: CompiledRecipe): Agreement {
  const { off, scatter, open, lab } = compare(seen, o, recipe);
  const allowed = scatter.map((v, i) => v + open[i]) as unknown as Mat3;
  return {
    distance: quadratic(allowed, off),
    lnAllowance: Math.log(determinant(allowed)),
    de00: deltaE2000(lab, o.panel.reading.lab),
  };
}

function quadratic(m: Mat3, v: readonly number[]): number {
  const inverse = invert3(m);
  let sum = 0;
  for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) sum += v[i] * inverse[3 * i + j] * v[j];
  return sum;
}

function determinant([a, b, c, d, e, f, g, h, i]: Mat3): number {
  return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
}
