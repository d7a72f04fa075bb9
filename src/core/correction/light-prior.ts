/**
 * What lights are like, and how they show in the sensitivities that a fit finds: kinds of light, each a Gaussian of its
 * power over wavelength. Learned by `calibration/prior/learn-lights.ts`.
 */
import learned from '../../../calibration/prior/lights.json' with { type: 'json' };
import observers from '../../../shared/tables/observers.json' with { type: 'json' };
import { GRID } from '../color/spectrum.ts';

const N = GRID.count;

/** Kinds of light by name, as learned. */
export type LightKindName =
  | 'day'
  | 'lamp'
  | 'led'
  | 'tri-phosphor'
  | 'discharge'
  | 'narrow-led'
  | 'two kinds at once';

/** What a painter calls a light. */
export type LightLabel = 'sun' | 'shade' | 'shop' | 'lamp' | 'other';

/**
 * One kind of light: power on the core's nodes P = mean + Σ modes·c, coefficients of the sensitivities' learned modes
 * θ = centre + Σ follow·c + what the camera adds; c ~ N(0, 1).
 */
export interface LightKindPrior {
  readonly name: LightKindName;
  readonly mean: Float64Array;
  readonly modes: readonly Float64Array[];
  readonly centre: Float64Array;
  readonly follow: readonly Float64Array[];
}

export interface LightPrior {
  readonly kinds: readonly LightKindPrior[];
  /** Covariance of θ in one and the same light, from camera to camera; k × k. */
  readonly cameras: Float64Array;
}

/** By whether pixels are as the sensor gave them or as a maker rendered them. */
export type LightPriors = Readonly<Record<'raw' | 'rendered', LightPrior>>;

interface Following {
  readonly centre: readonly number[];
  readonly follow: readonly (readonly number[])[];
}

interface Learned {
  readonly cameras: Readonly<Record<keyof LightPriors, readonly number[]>>;
  readonly kinds: readonly ({
    readonly name: string;
    readonly mean: readonly number[];
    readonly modes: readonly (readonly number[])[];
  } & Readonly<Record<keyof LightPriors, Following>>)[];
}

/** A camera of another make than those learned from: wider than they spread, and nowhere certain. */
const CAMERA_STRETCH = 1.3;
const CAMERA_FLOOR = 0.1;

/** The priors out of what was learned. */
export function lightPriors(from: Learned): LightPriors {
  const prior = (pixels: keyof LightPriors): LightPrior => ({
    kinds: from.kinds.map(({ name, mean, modes, [pixels]: { centre, follow } }) => ({
      name: name as LightKindName,
      mean: Float64Array.from(mean),
      modes: modes.map((m) => Float64Array.from(m)),
      centre: Float64Array.from(centre),
      follow: follow.map((f) => Float64Array.from(f)),
    })),
    cameras: symmetric(from.cameras[pixels], from.kinds[0][pixels].centre.length),
  });
  return { raw: prior('raw'), rendered: prior('rendered') };
}

function symmetric(lower: readonly number[], n: number): Float64Array {
  const out = new Float64Array(n * n);
  for (let i = 0, at = 0; i < n; i++)
    for (let j = 0; j <= i; j++, at++) {
      const v = CAMERA_STRETCH ** 2 * lower[at] + (i === j ? CAMERA_FLOOR ** 2 : 0);
      out[i * n + j] = v;
      out[j * n + i] = v;
    }
  return out;
}

/** The shipped priors. */
export const SHIPPED_LIGHTS: LightPriors = lightPriors(learned);

/**
 * How likely each kind is before the card has spoken, by what the painter calls the light; our judgement. A wrong word
 * must not win against a card that says otherwise, so nothing is ruled out.
 */
export const SHARES: Readonly<Record<LightLabel, Readonly<Record<LightKindName, number>>>> = {
  sun: shares(0.95, 0.005, 0.01, 0.005, 0.005, 0.005, 0.02),
  shade: shares(0.95, 0.005, 0.01, 0.005, 0.005, 0.005, 0.02),
  shop: shares(0.04, 0.04, 0.45, 0.28, 0.07, 0.02, 0.1),
  lamp: shares(0.02, 0.5, 0.3, 0.06, 0.03, 0.02, 0.07),
  other: shares(0.33, 0.13, 0.25, 0.15, 0.05, 0.02, 0.07),
};

function shares(
  day: number,
  lamp: number,
  led: number,
  triPhosphor: number,
  discharge: number,
  narrow: number,
  two: number,
): Record<LightKindName, number> {
  return {
    day,
    lamp,
    led,
    'tri-phosphor': triPhosphor,
    discharge,
    'narrow-led': narrow,
    'two kinds at once': two,
  };
}

/** x̄, ȳ, z̄ of the 2° observer (CIE 018:2019) at the core's nodes. */
export const BARS: readonly Float64Array[] = observers.observers['2'].map((bar) =>
  Float64Array.from({ length: N }, (_, i) => bar[2 * i]),
);
