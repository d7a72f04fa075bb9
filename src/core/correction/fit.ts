/**
 * The joint fit: one model of camera, light and field explains all card patches of a photo at once.
 * Reading of patch i, channel c, relative to paper:  y = g_c · field(x_i) · Σ E_c(λ) R_i(λ) + b_c.
 * On rendered pixels y is the decoded value times exp(response modes). Maximum a posteriori by Gauss–Newton
 * with Gaussian priors (all unknowns whitened) and robust weights.
 */
import { GRID, type Lab } from '../color/index.ts';
import { cholesky, choleskySolve, type Mat3, multiply3, solveLower, type Vec3 } from '../math/linear.ts';
import { FIELD_TERMS, type FieldPoint, fieldTerms } from './light-field.ts';
import { SHARED_PRINT_MODES } from './patch-spectra.ts';
import type { CorrectionPrior, SensitivityPrior } from './prior.ts';
import { encodeSrgb, modesAt, responseAt } from './response.ts';

const N = GRID.count;

/** A patch as the fit takes it. */
export interface FitPatch {
  readonly id: string;
  readonly neutral: boolean;
  /** Standard uncertainty of its stated colour, ΔE2000. */
  readonly u: number;
  readonly lab: Lab;
  readonly reflectance: Float64Array;
  readonly printModes: readonly [Float64Array, Float64Array, Float64Array];
  /** Ways in which this patch changes with the whole print (10 × 36). */
  readonly sharedModes: readonly Float64Array[];
  readonly linear: Vec3;
  readonly noise: Vec3;
  readonly usable: readonly boolean[];
  readonly at: FieldPoint;
}

/** What kind of pixels these are: which prior of sensitivities, and whether a response is to be found. */
export interface PixelModel {
  readonly sensitivity: 'raw' | 'rendered';
  readonly hasCurve: boolean;
  /** Applied after the response: the file's linear primaries to linear sRGB. */
  readonly toLinearSrgb: Mat3;
}

/** Positions of the unknowns in θ. */
export interface Layout {
  readonly curve: number;
  readonly sensitivity: number;
  readonly gain: number;
  readonly flare: number;
  readonly field: number;
  readonly print: number;
  readonly size: number;
}

export interface Fit {
  readonly model: PixelModel;
  readonly prior: CorrectionPrior;
  readonly layout: Layout;
  readonly theta: Float64Array;
  /** Lower Cholesky factor of the Hessian (inverse posterior covariance) of θ. */
  readonly hessian: Float64Array;
  /** Scale of each channel that puts paper near 1. */
  readonly scale: Vec3;
  /** Relative misfit per channel that the evidence chose. */
  readonly relative: number;
  readonly logEvidence: number;
  readonly patches: readonly FitPatch[];
  /** Per patch: its robust weight, whitened residual (3) and whitened Jacobian rows (3 × size). */
  readonly rows: readonly PatchRows[];
}

export interface PatchRows {
  readonly weight: number;
  readonly residual: Float64Array;
  readonly jacobian: Float64Array;
}

const RELATIVE_MISFITS = [0.004, 0.01, 0.022, 0.045];
const GAIN_SD = { curve: 0.2, linear: 0.05 };
const FLARE = { mean: 0.002, sd: 0.002 };
const READ_FLOOR = 0.0004;
const COMMON_MISFIT = 0.005;
const ROBUST_DISTANCE = 3.5;

function layoutOf(curveModes: number, sensitivityModes: number): Layout {
  const sensitivity = curveModes;
  const gain = sensitivity + sensitivityModes;
  const field = gain + 6;
  const print = field + FIELD_TERMS;
  return { curve: 0, sensitivity, gain, flare: gain + 3, field, print, size: print + SHARED_PRINT_MODES };
}

/** What a fit needs of a patch again and again. */
interface Prepared {
  readonly patch: FitPatch;
  readonly base: Vec3;
  /** modes × 3: how each mode changes the channels' readings of this patch. */
  readonly byMode: Float64Array;
  readonly curve: readonly Float64Array[];
  readonly field: Float64Array;
}

function dot(e: Float64Array, channel: number, r: Float64Array): number {
  let s = 0;
  const from = channel * N;
  for (let i = 0; i < N; i++) s += e[from + i] * r[i];
  return s;
}

function prepare(patch: FitPatch, model: PixelModel, prior: CorrectionPrior, s: SensitivityPrior): Prepared {
  const byMode = new Float64Array(s.modes.length * 3);
  s.modes.forEach((m, k) => {
    for (let c = 0; c < 3; c++) byMode[3 * k + c] = dot(m, c, patch.reflectance);
  });
  return {
    patch,
    base: [0, 1, 2].map((c) => dot(s.mean, c, patch.reflectance)) as unknown as Vec3,
    byMode,
    curve: model.hasCurve ? patch.linear.map((l) => modesAt(prior.curve, encodeSrgb(l))) : [],
    field: fieldTerms(patch.at),
  };
}

/** Readings that sensitivities (3 × 36) give of a reflectance, relative to a perfect white. */
export function expectedReading(e: Float64Array, reflectance: Float64Array): Vec3 {
  return [dot(e, 0, reflectance), dot(e, 1, reflectance), dot(e, 2, reflectance)];
}

/** Fits with ever larger misfits, from the last one's unknowns on, for as long as the evidence grows. */
export function fitCard(patches: readonly FitPatch[], model: PixelModel, prior: CorrectionPrior): Fit {
  const sensitivity = prior[model.sensitivity];
  const layout = layoutOf(model.hasCurve ? prior.curve.modes.length : 0, sensitivity.modes.length);
  const prepared = patches.map((p) => prepare(p, model, prior, sensitivity));
  const scale = paperScale(prepared, model, layout);
  let best: Fit | undefined;
  let start: Float64Array = new Float64Array(layout.size);
  for (const relative of RELATIVE_MISFITS) {
    const fit = solve({ prepared, model, prior, layout, scale, relative, start });
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

/** Linear sRGB light of a patch under the response of θ (not yet over paper). */
function light(p: Prepared, model: PixelModel, theta: Float64Array): Vec3 {
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

interface Problem {
  readonly prepared: readonly Prepared[];
  readonly model: PixelModel;
  readonly prior: CorrectionPrior;
  readonly layout: Layout;
  readonly scale: Vec3;
  readonly relative: number;
  readonly start: Float64Array;
}

function solve(problem: Problem): Fit {
  const { layout, prepared } = problem;
  const n = layout.size;
  const theta = problem.start.slice();
  let rows: PatchRows[] = [];
  let logDet = 0;
  let h = new Float64Array(n * n);
  for (let step = 0; step < 12; step++) {
    const printing = printReadings(problem, theta);
    const built = prepared.map((p, i) => patchRows(problem, p, theta, printing[i]));
    rows = built.map((b) => b.rows);
    logDet = built.reduce((s, b) => s + b.logDet, 0);
    const normal = normalEquations(rows, theta, n);
    h = cholesky(normal.hessian, n) as Float64Array<ArrayBuffer>;
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
    layout,
    theta,
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
  for (const { weight, residual, jacobian } of rows)
    for (let from = 0, c = 0; c < 3; c++, from += n) {
      const r = weight * residual[c];
      for (let i = 0; i < n; i++) {
        const a = jacobian[from + i];
        if (a === 0) continue;
        gradient[i] += a * r;
        const w = weight * a;
        for (let j = 0, at = i * n; j <= i; j++, at++) hessian[at] += w * jacobian[from + j];
      }
    }
  for (let i = 0; i < n; i++) {
    hessian[i * n + i] += 1;
    for (let j = 0; j < i; j++) hessian[j * n + i] = hessian[i * n + j];
  }
  return { hessian, gradient };
}

/** The sensitivities of θ: 3 × 36. */
export function sensitivitiesOf(
  fit: Pick<Fit, 'prior' | 'model' | 'layout'>,
  theta: Float64Array,
): Float64Array {
  const s = fit.prior[fit.model.sensitivity];
  const e = s.mean.slice();
  s.modes.forEach((m, k) => {
    const t = theta[fit.layout.sensitivity + k];
    if (t !== 0) for (let i = 0; i < e.length; i++) e[i] += t * m[i];
  });
  return e;
}

/** How a patch's readings (before gain and field) change with its own print error and with the whole print's. */
interface PrintReadings {
  /** 3 × 3 covariance from what this patch may be off by itself. */
  readonly own: Float64Array;
  /** 10 × 3. */
  readonly shared: Float64Array;
}

function printReadings(problem: Problem, theta: Float64Array): PrintReadings[] {
  const e = sensitivitiesOf(problem, theta);
  return problem.prepared.map(({ patch }) => {
    const g = [0, 1, 2].map((c) => patch.printModes.map((m) => dot(e, c, m)));
    const own = new Float64Array(9);
    for (let a = 0; a < 3; a++)
      for (let b = 0; b < 3; b++) own[3 * a + b] = g[a][0] * g[b][0] + g[a][1] * g[b][1] + g[a][2] * g[b][2];
    const shared = new Float64Array(3 * SHARED_PRINT_MODES);
    patch.sharedModes.forEach((m, k) => {
      for (let c = 0; c < 3; c++) shared[3 * k + c] = dot(e, c, m);
    });
    return { own, shared };
  });
}

/** A patch's reflectance as the fit believes it was printed. */
export function printedReflectance(fit: Fit, patch: FitPatch): Float64Array {
  const r = patch.reflectance.slice();
  patch.sharedModes.forEach((m, k) => {
    const t = fit.theta[fit.layout.print + k];
    for (let i = 0; i < r.length; i++) r[i] += t * m[i];
  });
  return r;
}

/** Gain of a channel and flare of θ, relative to paper. */
export function gainAndFlare(
  fit: Pick<Fit, 'model' | 'layout'>,
  theta: Float64Array,
  c: number,
): [number, number] {
  const sd = fit.model.hasCurve ? GAIN_SD.curve : GAIN_SD.linear;
  return [Math.exp(sd * theta[fit.layout.gain + c]), FLARE.mean + FLARE.sd * theta[fit.layout.flare + c]];
}

/** How a channel's gain and flare change with their unknowns. */
export function gainSlope(fit: Pick<Fit, 'model'>): { gain: number; flare: number } {
  return { gain: fit.model.hasCurve ? GAIN_SD.curve : GAIN_SD.linear, flare: FLARE.sd };
}

function patchRows(
  problem: Problem,
  p: Prepared,
  theta: Float64Array,
  printing: PrintReadings,
): { rows: PatchRows; logDet: number } {
  const { layout, model, scale, relative } = problem;
  const n = layout.size;
  const lit = litChannels(p, model, theta);
  const y = multiply3(model.toLinearSrgb, lit);
  const slope = gainSlope(problem);
  let logField = 0;
  for (let k = 0; k < FIELD_TERMS; k++) logField += p.field[k] * theta[layout.field + k];
  const field = Math.exp(logField);
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
    for (let k = 0; k < SHARED_PRINT_MODES; k++) seen += theta[layout.print + k] * printing.shared[3 * k + c];
    const factor = gain * field;
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
    for (let k = 0; k < FIELD_TERMS; k++) jacobian[row + layout.field + k] = -plain * p.field[k];
    for (let k = 0; k < SHARED_PRINT_MODES; k++)
      jacobian[row + layout.print + k] = -factor * printing.shared[3 * k + c];
  }
  const covariance = noiseCovariance(p.patch, expected, through, printing.own, scale, relative);
  return whiten(covariance, residual, jacobian, n);
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
    rows: { weight, residual, jacobian },
    logDet: 2 * (Math.log(l[0]) + Math.log(l[4]) + Math.log(l[8])),
  };
}
