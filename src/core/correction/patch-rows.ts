/** What each card patch says in one Gauss–Newton step: its residual and Jacobian, whitened by what they scatter. */
import { cholesky, multiply3, solveLower, type Vec3 } from '../math/linear.ts';
import {
  dot,
  type FitPatch,
  gainAndFlare,
  gainSlope,
  type Layout,
  type PatchRows,
  type PixelModel,
  sensitivitiesOf,
} from './fit-model.ts';
import { FIELD_TERMS, fieldTerms, logField } from './light-field.ts';
import type { CorrectionPrior, SensitivityPrior } from './prior.ts';
import { encodeSrgb, modesAt, responseAt } from './response.ts';

const READ_FLOOR = 0.0004;
const COMMON_MISFIT = 0.005;
const ROBUST_DISTANCE = 3.5;

/** What a fit needs of a patch again and again. */
export interface Prepared {
  readonly patch: FitPatch;
  readonly base: Vec3;
  /** modes × 3: how each mode changes the channels' readings of this patch. */
  readonly byMode: Float64Array;
  readonly curve: readonly Float64Array[];
  /** By channel. */
  readonly field: readonly Float64Array[];
}

export function prepare(
  patch: FitPatch,
  model: PixelModel,
  prior: CorrectionPrior,
  s: SensitivityPrior,
): Prepared {
  const byMode = new Float64Array(s.modes.length * 3);
  s.modes.forEach((m, k) => {
    for (let c = 0; c < 3; c++) byMode[3 * k + c] = dot(m, c, patch.reflectance);
  });
  return {
    patch,
    base: [0, 1, 2].map((c) => dot(s.mean, c, patch.reflectance)) as unknown as Vec3,
    byMode,
    curve: model.hasCurve ? patch.linear.map((l) => modesAt(prior.curve, encodeSrgb(l))) : [],
    field: [0, 1, 2].map((c) => fieldTerms(patch.at, c)),
  };
}

/** Linear sRGB light of a patch under the response of θ (not yet over paper). */
export function light(p: Prepared, model: PixelModel, theta: Float64Array): Vec3 {
  return multiply3(model.toLinearSrgb, litChannels(p, model, theta));
}

/** Light of a patch under the response of θ in the file's own primaries. */
function litChannels({ patch, curve }: Prepared, model: PixelModel, theta: Float64Array): Vec3 {
  if (!model.hasCurve) return patch.linear;
  const [r, g, b] = patch.linear;
  return [
    r * Math.exp(responseAt(curve[0], theta, 0)),
    g * Math.exp(responseAt(curve[1], theta, 0)),
    b * Math.exp(responseAt(curve[2], theta, 0)),
  ];
}

export interface Problem {
  readonly prepared: readonly Prepared[];
  readonly model: PixelModel;
  readonly prior: CorrectionPrior;
  readonly isCardMeasured: boolean;
  readonly layout: Layout;
  readonly scale: Vec3;
  readonly relative: number;
  readonly start: Float64Array;
}

/** How a patch's readings (before gain and field) change with its own print error and with the whole print's. */
interface PrintReadings {
  /** 3 × 3 covariance from what this patch may be off by itself. */
  readonly own: Float64Array;
  /** Modes × 3. */
  readonly shared: Float64Array;
}

export function printReadings(problem: Problem, theta: Float64Array): PrintReadings[] {
  const e = sensitivitiesOf(problem, theta);
  return problem.prepared.map(({ patch }) => {
    const own = new Float64Array(9);
    for (const m of patch.printModes) {
      const g = [dot(e, 0, m), dot(e, 1, m), dot(e, 2, m)];
      for (let a = 0; a < 3; a++) for (let b = 0; b < 3; b++) own[3 * a + b] += g[a] * g[b];
    }
    const shared = new Float64Array(3 * patch.sharedModes.length);
    patch.sharedModes.forEach((m, k) => {
      for (let c = 0; c < 3; c++) shared[3 * k + c] = dot(e, c, m);
    });
    return { own, shared };
  });
}

export function patchRows(
  problem: Problem,
  p: Prepared,
  theta: Float64Array,
  printing: PrintReadings,
): { rows: PatchRows; logDet: number } {
  const { layout, model, scale, relative } = problem;
  const n = layout.size;
  const printModes = n - layout.print;
  const lit = litChannels(p, model, theta);
  const y = multiply3(model.toLinearSrgb, lit);
  const slope = gainSlope(problem);
  const modes = p.byMode.length / 3;
  const jacobian = new Float64Array(3 * n);
  const residual = new Float64Array(3);
  const expected = new Float64Array(3);
  const through = new Float64Array(3);
  const curveModes = layout.sensitivity;
  for (let c = 0; c < 3; c++) {
    const [gain, flare] = gainAndFlare(problem, theta, c);
    let seen = p.base[c];
    for (let k = 0; k < modes; k++) seen += theta[layout.sensitivity + k] * p.byMode[3 * k + c];
    for (let k = 0; k < printModes; k++) seen += theta[layout.print + k] * printing.shared[3 * k + c];
    const factor = gain * Math.exp(logField(p.field[c], theta, layout.field));
    through[c] = factor;
    const plain = factor * seen;
    expected[c] = plain + flare;
    residual[c] = y[c] / scale[c] - expected[c];
    const row = c * n;
    for (let k = 0; k < curveModes; k++) {
      let d = 0;
      for (let s = 0; s < 3; s++) {
        const m = model.toLinearSrgb[3 * c + s];
        if (m !== 0) d += m * lit[s] * p.curve[s][k];
      }
      jacobian[row + k] = d / scale[c];
    }
    for (let k = 0; k < modes; k++) jacobian[row + layout.sensitivity + k] = -factor * p.byMode[3 * k + c];
    jacobian[row + layout.gain + c] = -slope.gain * plain;
    jacobian[row + layout.flare + c] = -slope.flare;
    for (let k = 0; k < FIELD_TERMS; k++) jacobian[row + layout.field + k] = -plain * p.field[c][k];
    for (let k = 0; k < printModes; k++)
      jacobian[row + layout.print + k] = -factor * printing.shared[3 * k + c];
  }
  const covariance = noiseCovariance(p.patch, expected, through, printing.own, scale, relative);
  return whiten(covariance, residual, jacobian, through, n);
}

function noiseCovariance(
  patch: FitPatch,
  expected: Float64Array,
  through: Float64Array,
  printing: Float64Array,
  scale: Vec3,
  relative: number,
): Float64Array {
  const out = new Float64Array(9);
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++)
      out[3 * a + b] =
        through[a] * through[b] * printing[3 * a + b] + COMMON_MISFIT ** 2 * expected[a] * expected[b];
    const noise = patch.noise[a] / scale[a];
    out[4 * a] += (relative * expected[a]) ** 2 + READ_FLOOR ** 2 + noise * noise;
    // a clipped or empty channel says nothing
    if (!patch.usable[a]) out[4 * a] += 1e4;
  }
  return out;
}

/** Whitens residual and Jacobian by the Cholesky factor of their covariance and weighs outliers down. */
function whiten(
  covariance: Float64Array,
  residual: Float64Array,
  jacobian: Float64Array,
  through: Float64Array,
  n: number,
): { rows: PatchRows; logDet: number } {
  const l = cholesky(covariance, 3);
  solveLower(l, 3, residual);
  for (let c = 0; c < 3; c++) {
    const inv = 1 / l[4 * c];
    for (let k = 0; k < n; k++) {
      let v = jacobian[c * n + k];
      for (let d = 0; d < c; d++) v -= l[3 * c + d] * jacobian[d * n + k];
      jacobian[c * n + k] = v * inv;
    }
  }
  const distance = Math.hypot(residual[0], residual[1], residual[2]);
  const weight = distance > ROBUST_DISTANCE ? ROBUST_DISTANCE / distance : 1;
  return {
    rows: { weight, residual, jacobian, scatter: l, through },
    logDet: 2 * (Math.log(l[0]) + Math.log(l[4]) + Math.log(l[8])),
  };
}
