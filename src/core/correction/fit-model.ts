/**
 * What the joint fit believes: one model of camera, light and field for all card patches of a photo. Reading of patch
 * i, channel c, relative to paper:  y = g_c · field_c(x_i) · Σ E_c(λ) R_i(λ) + b_c. On rendered pixels y is the decoded
 * value times exp(response modes). All unknowns θ are whitened: standard normal before a photo is seen.
 */
import { GRID, type Lab } from '../color/index.ts';
import type { Mat3, Vec3 } from '../math/linear.ts';
import { FIELD_TERMS, type FieldPoint } from './light-field.ts';
import type { SpectrumSource } from './patch-spectra.ts';
import type { CorrectionPrior } from './prior.ts';

const N = GRID.count;

/** A patch as the fit takes it. */
export interface FitPatch {
  readonly id: string;
  readonly neutral: boolean;
  /** Standard uncertainty of its stated colour, ΔE2000. */
  readonly u: number;
  readonly lab: Lab;
  /** What its card file says where that is another colour than it has in this light (see `brightener.ts`, `sheen.ts`). */
  readonly stated?: Lab;
  readonly reflectance: Float64Array;
  /** Where the spectra of its card come from. */
  readonly source: SpectrumSource;
  /** Ways (36 values each) in which this patch may be off by itself. */
  readonly printModes: readonly Float64Array[];
  /** Ways in which this patch changes with the others, as the print or this photo's light is, 36 values each; as many for every patch of a fit. */
  readonly sharedModes: readonly Float64Array[];
  /** How many of those, the last, are this photo's and not the print's; none when left out. */
  readonly ofPhoto?: number;
  readonly linear: Vec3;
  readonly noise: Vec3;
  /** Relative doubt of what ran over its edges; `noise` holds it too. */
  readonly bleed: number;
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
  /** An instrument, or another card, has told most of every patch's colour. */
  readonly isCardMeasured: boolean;
  readonly layout: Layout;
  readonly theta: Float64Array;
  /** Inverse posterior covariance of θ, size × size. */
  readonly information: Float64Array;
  /** Its lower Cholesky factor. */
  readonly hessian: Float64Array;
  /** Scale of each channel that puts paper near 1. */
  readonly scale: Vec3;
  /** Relative misfit per channel that the evidence chose. */
  readonly relative: number;
  /** How far, in standard deviations, the smallest misfit leaves the patch that is farthest off. */
  readonly farthest: number;
  /** Of the linear values it was handed. */
  readonly logEvidence: number;
  readonly patches: readonly FitPatch[];
  /** Per patch: its robust weight, whitened residual (3) and whitened Jacobian rows (3 × size). */
  readonly rows: readonly PatchRows[];
}

export interface PatchRows {
  readonly weight: number;
  readonly residual: Float64Array;
  readonly jacobian: Float64Array;
  /** Lower Cholesky factor (3 × 3) that whitens the patch's readings. */
  readonly scatter: Float64Array;
  /** Gain times field per channel: what a reading is of Σ E·R. */
  readonly through: Float64Array;
}

const GAIN_SD = { curve: 0.2, linear: 0.05 };
/** Light that reaches a sensor past the scene, of paper's light. */
export const FLARE = { mean: 0.002, sd: 0.002 };

export function layoutOf(curveModes: number, sensitivityModes: number, printModes: number): Layout {
  const sensitivity = curveModes;
  const gain = sensitivity + sensitivityModes;
  const field = gain + 6;
  const print = field + FIELD_TERMS;
  return {
    curve: 0,
    sensitivity,
    gain,
    flare: gain + 3,
    field,
    print,
    size: print + printModes,
  };
}

export function dot(e: Float64Array, channel: number, r: Float64Array): number {
  let s = 0;
  const from = channel * N;
  for (let i = 0; i < N; i++) s += e[from + i] * r[i];
  return s;
}

/** Readings that sensitivities (3 × 36) give of a reflectance, relative to a perfect white. */
export function expectedReading(e: Float64Array, reflectance: Float64Array): Vec3 {
  return [dot(e, 0, reflectance), dot(e, 1, reflectance), dot(e, 2, reflectance)];
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
