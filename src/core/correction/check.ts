/** Leave-one-out: each patch predicted by a correction that has not seen it. */
import { deltaE2000, type Lab } from '../color/index.ts';
import { cholesky, choleskySolve, solveLower } from '../math/linear.ts';
import { type FittedPhoto, labAt, patchAsThing } from './estimate.ts';
import type { Fit, PatchRows } from './fit-model.ts';
import { meanMisfitOf, type PatchMisfit, type ResidualField } from './residual-field.ts';
import type { CardCheck } from './types.ts';

/** θ of the fit without one patch: one exact downdate of the last Gauss–Newton step (Woodbury). */
function thetaWithout(fit: Fit, rows: PatchRows): Float64Array {
  const n = fit.layout.size;
  const root = Math.sqrt(rows.weight);
  // X = L⁻¹ Jᵀ, one row of X per row of J
  const x = rows.jacobian.map((v) => v * root);
  for (let c = 0; c < 3; c++) solveLower(fit.hessian, n, x.subarray(c * n, (c + 1) * n));
  const s = new Float64Array(9);
  for (let a = 0; a < 3; a++)
    for (let b = 0; b < 3; b++) {
      let dot = 0;
      for (let k = 0; k < n; k++) dot += x[a * n + k] * x[b * n + k];
      s[3 * a + b] = (a === b ? 1 : 0) - dot;
    }
  const y = choleskySolve(
    cholesky(s, 3, 1e-9),
    3,
    rows.residual.map((v) => v * root),
  );
  const move = new Float64Array(n);
  for (let c = 0; c < 3; c++) for (let k = 0; k < n; k++) move[k] += rows.jacobian[c * n + k] * root * y[c];
  choleskySolve(fit.hessian, n, move);
  return fit.theta.map((t, k) => t + move[k]);
}

/** Predicts every usable patch from the others. */
export function leaveOneOut(
  photo: FittedPhoto,
  misfits: readonly PatchMisfit[],
  field: ResidualField,
  leftOut: readonly string[],
): CardCheck {
  const errors: number[] = [];
  let worst: { readonly id: string; readonly de00: number } | undefined;
  photo.fit.patches.forEach((patch, i) => {
    if (!patch.usable.every(Boolean)) return;
    const theta = thetaWithout(photo.fit, photo.fit.rows[i]);
    const plain = labAt(photo, theta, patchAsThing(patch));
    const others = misfits.filter((m) => m.id !== patch.id);
    const mean = meanMisfitOf(field, others)(plain);
    const de00 = deltaE2000([plain[0] + mean[0], plain[1] + mean[1], plain[2] + mean[2]] as Lab, patch.lab);
    errors.push(de00);
    if (!worst || de00 > worst.de00) worst = { id: patch.id, de00 };
  });
  return {
    mean_de00: errors.length ? errors.reduce((a, b) => a + b, 0) / errors.length : Number.NaN,
    max_de00: worst?.de00 ?? Number.NaN,
    ...(worst && { worst_patch: worst.id }),
    patches_used: photo.fit.patches.length,
    patches_left_out: leftOut,
  };
}
