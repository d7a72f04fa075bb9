/**
 * The joint fit: maximum a posteriori by Gauss–Newton with Gaussian priors and robust weights, over all card patches
 * of a photo at once.
 */
import { cholesky, choleskySolve, mirrorLower, type Vec3 } from '../math/linear.ts';
import {
  type Fit,
  type FitPatch,
  type Layout,
  layoutOf,
  type PatchRows,
  type PixelModel,
} from './fit-model.ts';
import { light, type Prepared, type Problem, patchRows, prepare, printReadings } from './patch-rows.ts';
import { neverMeasured } from './print-error.ts';
import type { CorrectionPrior } from './prior.ts';

/** Where more of a patch's doubt than this is the print's as a whole, nobody measured the card. */
const PRINTS_DOUBT = 0.5;
const RELATIVE_MISFITS = [0.004, 0.01, 0.022, 0.045];

/** Fits with ever larger misfits, from the last one's unknowns on, for as long as the evidence grows. */
export function fitCard(patches: readonly FitPatch[], model: PixelModel, learned: CorrectionPrior): Fit {
  const isCardMeasured = patches.every((p) => neverMeasured(p.u) <= PRINTS_DOUBT);
  const prior = isCardMeasured ? learned : { ...learned, curve: learned.looseCurve };
  const sensitivity = prior[model.sensitivity];
  const layout = layoutOf(model.hasCurve ? prior.curve.modes.length : 0, sensitivity.modes.length);
  const prepared = patches.map((p) => prepare(p, model, prior, sensitivity));
  const scale = paperScale(prepared, model, layout);
  let best: Fit | undefined;
  let start: Float64Array = new Float64Array(layout.size);
  for (const relative of RELATIVE_MISFITS) {
    const fit = solve({ prepared, model, prior, isCardMeasured, layout, scale, relative, start });
    if (best && fit.logEvidence < best.logEvidence) break;
    best = fit;
    start = fit.theta;
  }
  return best!;
}

/** Per channel, the median over the neutrals of (light read) / (light expected), so that paper reads near 1. */
function paperScale(prepared: readonly Prepared[], model: PixelModel, layout: Layout): Vec3 {
  const zero = new Float64Array(layout.size);
  const usedNeutrals = prepared.filter((p) => p.patch.neutral);
  const basis = usedNeutrals.length >= 2 ? usedNeutrals : prepared;
  return [0, 1, 2].map((c) => {
    const bright = basis
      .filter((p) => p.patch.usable[c])
      .map((p) => ({ expected: p.base[c], ratio: light(p, model, zero)[c] / p.base[c] }))
      .sort((a, b) => b.expected - a.expected);
    const top = bright
      .slice(0, Math.max(1, Math.ceil(bright.length / 2)))
      .map((b) => b.ratio)
      .sort((a, b) => a - b);
    const median = top.length ? top[Math.floor(top.length / 2)] : 1;
    return median > 1e-6 ? median : 1;
  }) as unknown as Vec3;
}

function solve(problem: Problem): Fit {
  const { layout, prepared } = problem;
  const n = layout.size;
  const theta = problem.start.slice();
  let rows: PatchRows[] = [];
  let logDet = 0;
  let information = new Float64Array(n * n);
  let h = new Float64Array(n * n);
  for (let step = 0; step < 12; step++) {
    const printing = printReadings(problem, theta);
    const built = prepared.map((p, i) => patchRows(problem, p, theta, printing[i]));
    rows = built.map((b) => b.rows);
    logDet = built.reduce((s, b) => s + b.logDet, 0);
    const normal = normalEquations(rows, theta, n);
    information = normal.hessian as Float64Array<ArrayBuffer>;
    h = cholesky(information, n) as Float64Array<ArrayBuffer>;
    const move = choleskySolve(h, n, normal.gradient);
    let largest = 0;
    for (let k = 0; k < n; k++) largest = Math.max(largest, Math.abs(move[k]));
    const damp = largest > 1.5 ? 1.5 / largest : 1;
    for (let k = 0; k < n; k++) theta[k] -= damp * move[k];
    if (largest < 0.03) break;
  }
  let cost = 0;
  for (const r of rows) cost += r.weight * (r.residual[0] ** 2 + r.residual[1] ** 2 + r.residual[2] ** 2);
  for (let k = 0; k < n; k++) {
    cost += theta[k] ** 2;
    logDet += 2 * Math.log(h[k * n + k]);
  }
  return {
    model: problem.model,
    prior: problem.prior,
    isCardMeasured: problem.isCardMeasured,
    layout,
    theta,
    information,
    hessian: h,
    scale: problem.scale,
    relative: problem.relative,
    logEvidence: -0.5 * (cost + logDet),
    patches: prepared.map((p) => p.patch),
    rows,
  };
}

function normalEquations(
  rows: readonly PatchRows[],
  theta: Float64Array,
  n: number,
): { hessian: Float64Array; gradient: Float64Array } {
  const hessian = new Float64Array(n * n);
  const gradient = theta.slice();
  for (const row of rows) addPatch(row, n, hessian, gradient);
  // the unknowns' own prior, N(0, 1)
  for (let i = 0; i < n; i++) hessian[i * n + i] += 1;
  mirrorLower(hessian, n);
  return { hessian, gradient };
}

/** Adds what a patch's three channels say to the gradient and to the hessian's lower triangle. */
function addPatch(
  { weight, residual, jacobian }: PatchRows,
  n: number,
  hessian: Float64Array,
  gradient: Float64Array,
): void {
  for (let i = 0; i < n; i++) {
    const r = weight * jacobian[i];
    const g = weight * jacobian[n + i];
    const b = weight * jacobian[2 * n + i];
    gradient[i] += r * residual[0] + g * residual[1] + b * residual[2];
    for (let j = 0, at = i * n; j <= i; j++, at++)
      hessian[at] += r * jacobian[j] + g * jacobian[n + j] + b * jacobian[2 * n + j];
  }
}
