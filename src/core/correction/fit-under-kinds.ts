/**
 * A fit to the card alone knows no kinds of light: one Gaussian stands for all lights at once. Here the kinds that the fit
 * leaves possible narrow it: their mixture, by weight, is put in the place of the learned modes' posterior as one Gaussian
 * of the same mean and covariance, and all other unknowns follow. Daylight and lamps are narrow kinds.
 */
import { cholesky, choleskySolve } from '../math/linear.ts';
import type { Fit, PatchRows } from './fit-model.ts';
import { inverseOf, type Marginal, times, type WeighedKind, type WeighedKinds } from './light-kinds.ts';

/** The learned modes' coefficients under all kinds that are possible: mean, and k × k covariance. */
export interface MixedKinds {
  readonly theta: Float64Array;
  readonly spread: Float64Array;
}

/** Kinds by their weights as one Gaussian with the mixture's mean and covariance. */
export function mixtureOf(kinds: readonly WeighedKind[]): MixedKinds {
  const k = kinds[0].theta.length;
  const theta = new Float64Array(k);
  for (const u of kinds) for (let i = 0; i < k; i++) theta[i] += u.weight * u.theta[i];
  const spread = new Float64Array(k * k);
  for (const u of kinds)
    for (let i = 0; i < k; i++)
      for (let j = 0; j < k; j++)
        spread[i * k + j] +=
          u.weight * (u.spread[i * k + j] + (u.theta[i] - theta[i]) * (u.theta[j] - theta[j]));
  return { theta, spread };
}

/** A fit to the card alone, with what the kinds of light add to it. */
export function fitUnderKinds(fit: Fit, { marginal, kinds }: WeighedKinds): Fit {
  const { theta, spread } = mixtureOf(kinds);
  const move = moveOf(fit, marginal, theta);
  const information = replaced(fit, marginal, spread);
  return {
    ...fit,
    theta: fit.theta.map((v, i) => v + move[i]),
    information,
    hessian: cholesky(information, fit.layout.size),
    rows: fit.rows.map((row) => movedRow(row, move)),
  };
}

/** How all unknowns follow when the learned modes' coefficients go to `theta`. */
function moveOf({ hessian, layout }: Fit, { mean, precision }: Marginal, theta: Float64Array): Float64Array {
  const off = theta.map((v, i) => v - mean[i]);
  const pull = new Float64Array(layout.size);
  pull.set(times(precision, theta.length, off), layout.sensitivity);
  return choleskySolve(hessian, layout.size, pull);
}

/** Information with another marginal covariance of the learned modes. */
function replaced({ information, layout }: Fit, marginal: Marginal, spread: Float64Array): Float64Array {
  const { size, sensitivity } = layout;
  const k = marginal.mean.length;
  const precision = inverseOf(spread, k);
  const out = information.slice();
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++)
      out[(sensitivity + i) * size + sensitivity + j] += precision[i * k + j] - marginal.precision[i * k + j];
  return out;
}

/** A patch's residual where the unknowns have moved. */
function movedRow(row: PatchRows, move: Float64Array): PatchRows {
  const n = move.length;
  const residual = row.residual.slice();
  for (let c = 0; c < 3; c++) for (let k = 0; k < n; k++) residual[c] += row.jacobian[c * n + k] * move[k];
  return { ...row, residual };
}
