import learned from '../../../calibration/prior/prior.json' with { type: 'json' };
import { GRID } from '../color/spectrum.ts';
import { type LightPriors, SHIPPED_LIGHTS } from './light-prior.ts';

/** Channels × nodes of an effective sensitivity. */
const SENSITIVITY_SIZE = 3 * GRID.count;

/** Gaussian prior of the effective sensitivities: mean + Σ mode·N(0, 1). */
export interface SensitivityPrior {
  readonly mean: Float64Array;
  readonly modes: readonly Float64Array[];
}

/** Gaussian prior of the response: ln(light) − ln(sRGB-decoded value) over the encoded value, 65 nodes on 0–1. */
export interface CurvePrior {
  readonly mean: Float64Array;
  readonly modes: readonly Float64Array[];
}

/** What the correction expects before it has seen a photo. Learned by `calibration/prior/learn-prior.ts`. */
export interface CorrectionPrior {
  /** Camera × light, white balanced. */
  readonly raw: SensitivityPrior;
  /** Camera × light × the maker's matrix to linear sRGB. */
  readonly rendered: SensitivityPrior;
  readonly curve: CurvePrior;
  /**
   * The response beside a card that nobody measured. A measured card tells the response by itself; the other kind is
   * lighter or darker in ways that look like a response, and what the response is not allowed is put down to the print.
   */
  readonly looseCurve: CurvePrior;
  /** Kinds of light; they hang on the learned modes of `raw` and `rendered`. */
  readonly lights: LightPriors;
}

interface LearnedModes {
  readonly mean: readonly number[];
  readonly modes: readonly (readonly number[])[];
}

const BUMPS_PER_CHANNEL = 11;
const BUMP_SIGMA_NM = 22;
const BUMP_SPACING_NM = 34;
const BUMP_SIZE = 0.2;

/**
 * Smooth bumps on each channel, ±20 % of its mean, beside the learned modes: a camera the prior never saw must
 * not be forced into those it did.
 */
function bumpModes(mean: Float64Array): Float64Array[] {
  const bumps: Float64Array[] = [];
  for (let c = 0; c < 3; c++)
    for (let k = 0; k < BUMPS_PER_CHANNEL; k++) {
      const centre = 385 + k * BUMP_SPACING_NM;
      const bump = new Float64Array(SENSITIVITY_SIZE);
      for (let i = 0; i < GRID.count; i++) {
        const nm = GRID.start_nm + i * GRID.step_nm;
        const at = GRID.count * c + i;
        bump[at] = BUMP_SIZE * mean[at] * Math.exp(-0.5 * ((nm - centre) / BUMP_SIGMA_NM) ** 2);
      }
      bumps.push(bump);
    }
  return bumps;
}

function sensitivityPrior(from: LearnedModes): SensitivityPrior {
  const mean = Float64Array.from(from.mean);
  const bumps = bumpModes(mean);
  return {
    mean,
    modes: [...from.modes.map((m) => Float64Array.from(m)), ...bumps],
  };
}

const KNOT_SPACING = 0.1;
const KNOT_SIGMA = 0.08;
const KNOT_SIZE = 0.035;
/** How much further a response may leave the family where nobody measured the card. */
const LOOSENED = 3;

/** Smooth bumps along the response beside the learned modes: a maker's curve need not be of the family. */
function knotModes(nodes: number): Float64Array[] {
  return Array.from({ length: 10 }, (_, k) => {
    const centre = 0.1 + k * KNOT_SPACING;
    return Float64Array.from(
      { length: nodes },
      (_, i) => KNOT_SIZE * Math.exp(-0.5 * ((i / (nodes - 1) - centre) / KNOT_SIGMA) ** 2),
    );
  });
}

/** The prior as used in a fit, from what was learned; the lights learned for the same modes. */
export function correctionPrior(
  from: {
    raw: LearnedModes;
    rendered: LearnedModes;
    curve: LearnedModes;
  },
  lights: LightPriors,
): CorrectionPrior {
  const mean = Float64Array.from(from.curve.mean);
  const family = from.curve.modes.map((m) => Float64Array.from(m));
  const knots = knotModes(mean.length);
  return {
    lights,
    raw: sensitivityPrior(from.raw),
    rendered: sensitivityPrior(from.rendered),
    curve: { mean, modes: [...family, ...knots] },
    looseCurve: { mean, modes: [...family, ...knots.map((m) => m.map((v) => LOOSENED * v))] },
  };
}

/** The shipped prior. */
export const SHIPPED_PRIOR: CorrectionPrior = correctionPrior(learned, SHIPPED_LIGHTS);
