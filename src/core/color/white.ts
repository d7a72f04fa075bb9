import illuminants from '../../../shared/tables/illuminants.json' with { type: 'json' };
import observers from '../../../shared/tables/observers.json' with { type: 'json' };
import type { Vec3 } from '../math/linear.ts';
import { nodeWeights } from './spectrum.ts';

/** An illuminant and observer that Lab values are relative to, such as `D50/2`. */
export type WhiteName = string;

export interface Viewing {
  readonly name: WhiteName;
  /** XYZ of the perfect diffuser, Y = 1. */
  readonly white: Vec3;
  /** Per grid node, the weights of X, Y and Z (36 values each): XYZ = Σ weight·R, Y = 1 for R = 1. */
  readonly weights: readonly [Float64Array, Float64Array, Float64Array];
}

const cache = new Map<WhiteName, Viewing>();

/** All names `viewing` knows: each tabulated illuminant with the 2° and 10° observer. */
export const WHITE_NAMES: readonly WhiteName[] = Object.keys(illuminants.illuminants).flatMap((i) => [
  `${i}/2`,
  `${i}/10`,
]);

/**
 * Illuminant and observer by name (`D50/2`, `D65/10`, `A/2` …), CIE 15:2018 and CIE 018:2019, summed over
 * 380–730 nm in 5 nm steps. Throws RangeError for an unknown name.
 */
export function viewing(name: WhiteName): Viewing {
  const known = cache.get(name);
  if (known) return known;
  const [light, observer] = name.split('/');
  const power = (illuminants.illuminants as Record<string, number[]>)[light];
  const bars = (observers.observers as Record<string, number[][]>)[observer];
  if (!power || !bars) throw new RangeError(`unknown illuminant or observer: ${name}`);
  const made = viewingUnder(name, power, bars);
  cache.set(name, made);
  return made;
}

function viewingUnder(name: string, power: readonly number[], bars: readonly number[][]): Viewing {
  const k = 1 / power.reduce((sum, p, i) => sum + p * bars[1][i], 0);
  const weights = bars.map((bar) => nodeWeights(bar.map((b, i) => k * b * power[i])));
  const white = weights.map((w) => w.reduce((a, b) => a + b, 0));
  return {
    name,
    white: white as unknown as Vec3,
    weights: weights as unknown as Viewing['weights'],
  };
}
