/** Virtual panels and card patches seen through a fitted camera: the training of the map, and its derivatives. */
import { GRID, viewing, type WhiteName, type Xyz, xyzFromReflectance } from '../color/index.ts';
import {
  applyPolynomial,
  lightnessWeights,
  logReadings,
  neighbourWeights,
  polynomialSlopes,
  relativeResiduals,
  type Training,
  trainPolynomial,
} from './colour-map.ts';
import { dot, type Fit, sensitivitiesOf } from './fit-model.ts';
import type { Make } from './paint.ts';
import type { SensitivityPrior } from './prior.ts';
import { virtualOthers } from './virtual-others.ts';
import { virtualPanels } from './virtual-panels.ts';

const N = GRID.count;
/** Readings below this are one and the same: no photo tells them apart. */
export const READING_FLOOR = 0.001;

/** What the virtual things are to be mapped to: XYZ of the panels, m × 3, with their weights, and of others when asked. */
export interface Targets extends Pick<Training, 'xyz' | 'weights'> {
  readonly of: (make: Make) => Float64Array;
}

/** How virtual things lie about a map: where they are read, and what the map leaves of them (m × 3 each). */
export interface Scatter {
  readonly logReadings: Float64Array;
  readonly residuals: Float64Array;
}

/** A trained map with what it was trained on. */
export interface TrainedMap extends Scatter {
  readonly training: Training;
  readonly targets: Targets;
  readonly polynomial: Float64Array;
  /** Change of the polynomial with each mode of the sensitivities. */
  readonly slopes: readonly Float64Array[];
}

/** Colours of the virtual things under a white; they never change. */
const targetCache = new Map<WhiteName, Targets>();
function virtualTargets(white: WhiteName): Targets {
  let targets = targetCache.get(white);
  if (!targets) {
    const under = viewing(white);
    const seen = (spectra: readonly Float64Array[]): Float64Array =>
      Float64Array.from(spectra.flatMap((r) => [...xyzFromReflectance(r, under)]));
    const xyz = seen(virtualPanels());
    const others = new Map<Make, Float64Array>();
    targets = {
      xyz,
      weights: lightnessWeights(xyz),
      of(make) {
        const known = others.get(make) ?? seen(virtualOthers(make));
        others.set(make, known);
        return known;
      },
    };
    targetCache.set(white, targets);
  }
  return targets;
}

/** Readings of spectra through sensitivities (3 × 36), m × 3, unfloored. */
function seenThrough(e: Float64Array, spectra: readonly Float64Array[]): Float64Array {
  const out = new Float64Array(3 * spectra.length);
  for (let c = 0; c < 3; c++) {
    // most ways of the prior change one channel only
    if (!e.subarray(c * N, (c + 1) * N).some(Boolean)) continue;
    for (let j = 0; j < spectra.length; j++) out[3 * j + c] = dot(e, c, spectra[j]);
  }
  return out;
}

/** Readings that each mode of the prior adds, per mode m × 3; computed once per prior. */
const modeCache = new WeakMap<SensitivityPrior, readonly Float64Array[]>();
function virtualModes(prior: SensitivityPrior): readonly Float64Array[] {
  let seen = modeCache.get(prior);
  if (!seen) {
    seen = prior.modes.map((m) => seenThrough(m, virtualPanels()));
    modeCache.set(prior, seen);
  }
  return seen;
}

/** Makes up and looks at the virtual panels for the first time, which every map of these needs. */
export function prepareMaps(prior: SensitivityPrior, white: WhiteName): void {
  virtualTargets(white);
  virtualModes(prior);
}

/** How much of a mode is added to see how the polynomial changes with it. */
const MODE_STEP = 0.25;

/** Trains the map of a fit on the virtual panels seen through it, to their XYZ under a white. */
export function trainMap(fit: Fit, white: WhiteName): TrainedMap {
  return trainMapTo(fit, virtualTargets(white));
}

/** The same to their XYZ under any light. */
export function trainMapTo(fit: Fit, targets: Targets): TrainedMap {
  const raw = seenThrough(sensitivitiesOf(fit, fit.theta), virtualPanels());
  const { xyz, weights } = targets;
  const training = {
    count: raw.length / 3,
    readings: raw.map((v) => Math.max(v, READING_FLOOR)),
    xyz,
    weights,
  };
  const polynomial = trainPolynomial(training);
  const modes = virtualModes(fit.prior[fit.model.sensitivity]);
  return {
    training,
    targets,
    logReadings: logReadings(training.readings),
    polynomial,
    slopes: polynomialSlopes(training, polynomial, raw, modes, MODE_STEP, READING_FLOOR),
    residuals: relativeResiduals(training, polynomial),
  };
}

/** How virtual things of another make lie about a map that was not trained on them. */
export function othersAbout({ targets, polynomial }: TrainedMap, fit: Fit, make: Make): Scatter {
  const raw = seenThrough(sensitivitiesOf(fit, fit.theta), virtualOthers(make));
  const readings = raw.map((v) => Math.max(v, READING_FLOOR));
  const xyz = targets.of(make);
  return {
    logReadings: logReadings(readings),
    residuals: relativeResiduals({ count: readings.length / 3, readings, xyz }, polynomial),
  };
}

/** The polynomial when the sensitivities' unknowns have moved from θ̂ to θ (linear in the move). */
export function movedPolynomial(map: TrainedMap, fit: Fit, theta: Float64Array): Float64Array {
  const out = map.polynomial.slice();
  map.slopes.forEach((slope, k) => {
    const at = fit.layout.sensitivity + k;
    const d = theta[at] - fit.theta[at];
    if (d !== 0) for (let i = 0; i < out.length; i++) out[i] += d * slope[i];
  });
  return out;
}

/** Width of the neighbourhood in ln(reading). */
const NEIGHBOUR_WIDTH = 0.4;

/**
 * Weights of virtual things about a reading: how they scatter about the map is what three channels cannot tell. Their
 * mean is not followed: real tints scatter about others than ours, and both families of scenes came out worse for it.
 */
export function neighbourhood({ logReadings }: Scatter, reading: ArrayLike<number>): Float64Array {
  return neighbourWeights(logReadings, reading, NEIGHBOUR_WIDTH);
}

/** XYZ of one reading through a polynomial. */
export function mappedXyz(polynomial: Float64Array, reading: ArrayLike<number>): Xyz {
  const out = new Float64Array(3);
  applyPolynomial(polynomial, reading[0], reading[1], reading[2], out, 0);
  return [Math.max(out[0], 1e-5), Math.max(out[1], 1e-5), Math.max(out[2], 1e-5)];
}
