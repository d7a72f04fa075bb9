/** Leave-one-out: each patch predicted by a correction that has not seen it. */
import { deltaE2000, type Lab } from '../color/index.ts';
import { cholesky, choleskySolve, innerProduct, solveLower, symmetricEigen } from '../math/linear.ts';
import { type FittedPhoto, labAt, patchAsThing } from './estimate.ts';
import type { Fit, PatchRows } from './fit-model.ts';
import { meanMisfitWithout, type ResidualField } from './residual-field.ts';
import type { CardCheck } from './types.ts';

/**
 * θ of the fit without one patch: one exact downdate of the last Gauss–Newton step (Woodbury), the unknowns before
 * `from` held.
 */
function thetaWithout(fit: Fit, rows: PatchRows, from: number): Float64Array {
  const size = fit.layout.size;
  const n = size - from;
  const hessian = from === 0 ? fit.hessian : hessianFrom(fit.hessian, size, from);
  // X = L⁻¹ Jᵀ, one row of X per row of J
  const x = [0, 1, 2].map((c) =>
    solveLower(hessian, n, rows.jacobian.slice(c * size + from, (c + 1) * size)),
  );
  const leverage = new Float64Array(9);
  for (let a = 0; a < 3; a++)
    for (let b = 0; b < 3; b++) leverage[3 * a + b] = rows.weight * innerProduct(x[a], 0, x[b], 0, n);
  const share = shareToTakeOut(leverage);
  const s = leverage.map((v, i) => (i % 4 === 0 ? 1 : 0) - share * v);
  const y = choleskySolve(cholesky(s, 3, 1e-9), 3, rows.residual.slice());
  const move = new Float64Array(n);
  for (let c = 0; c < 3; c++) addScaled(move, rows.jacobian, c * size + from, share * rows.weight * y[c]);
  choleskySolve(hessian, n, move);
  const theta = fit.theta.slice();
  for (let k = 0; k < n; k++) theta[from + k] += move[k];
  return theta;
}

/** Leverage, 0–1, above which a patch stays in by the rest. */
const MOST_LEVERAGE = 0.98;

/**
 * How much of a patch can be taken out. Kinds of light may leave more open than the patches alone do; one patch can then
 * hold more than all there is, and nothing would be left to predict it from.
 */
function shareToTakeOut(leverage: Float64Array): number {
  // the norm is never below the largest eigenvalue, and seldom above the limit
  if (Math.hypot(...leverage) <= MOST_LEVERAGE) return 1;
  return Math.min(1, MOST_LEVERAGE / symmetricEigen(leverage, 3).values[0]);
}

/** Adds `factor` times the values of a row that begins at `from`. */
function addScaled(to: Float64Array, row: Float64Array, from: number, factor: number): void {
  for (let k = 0; k < to.length; k++) to[k] += factor * row[from + k];
}

/** Cholesky factor of the Hessian of the unknowns from `from` on. */
function hessianFrom(l: Float64Array, size: number, from: number): Float64Array {
  const n = size - from;
  const h = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      const sum = innerProduct(l, (i + from) * size, l, (j + from) * size, j + from + 1);
      h[i * n + j] = sum;
      h[j * n + i] = sum;
    }
  return cholesky(h, n);
}

/**
 * The darkest grey is what a response is known by below the others: without it the response would be guessed, as it is for
 * no panel. So it is predicted with the response held.
 */
function responseEnd({ fit }: FittedPhoto): string | undefined {
  const greys = fit.patches.filter((p) => p.neutral && p.usable.every(Boolean));
  return greys.length
    ? greys.reduce((darkest, p) => (p.lab[0] < darkest.lab[0] ? p : darkest)).id
    : undefined;
}

/** How far off one patch is when it is predicted from the others. */
export interface PatchError {
  readonly id: string;
  readonly de00: number;
}

/** Predicts every usable patch from the others; `patches` in the card's order. */
export function leaveOneOut(
  photo: FittedPhoto,
  field: ResidualField,
  leftOut: readonly string[],
): { readonly check: CardCheck; readonly patches: readonly PatchError[] } {
  const errors: PatchError[] = [];
  let worst: PatchError | undefined;
  const end = responseEnd(photo);
  photo.fit.patches.forEach((patch, i) => {
    if (!patch.usable.every(Boolean)) return;
    const held = patch.id === end ? photo.fit.layout.sensitivity : 0;
    const theta = thetaWithout(photo.fit, photo.fit.rows[i], held);
    const plain = labAt(photo, theta, patchAsThing(patch));
    const mean = meanMisfitWithout(field, patch.id, plain);
    const de00 = deltaE2000([plain[0] + mean[0], plain[1] + mean[1], plain[2] + mean[2]] as Lab, patch.lab);
    errors.push({ id: patch.id, de00 });
    if (!worst || de00 > worst.de00) worst = errors[errors.length - 1];
  });
  const check: CardCheck = {
    mean_de00: errors.length ? errors.reduce((sum, e) => sum + e.de00, 0) / errors.length : Number.NaN,
    max_de00: worst?.de00 ?? Number.NaN,
    ...(worst && { worst_patch: worst.id }),
    patches_used: photo.fit.patches.filter((p) => p.usable.some(Boolean)).length,
    patches_checked: errors.length,
    patches_left_out: leftOut,
  };
  return { check, patches: errors };
}
