/**
 * Colours of things read in one photo, as a Gaussian: Lab centres, and the factors of their joint covariance.
 * Errors that things share (parameters, metamerism of like colours) stay shared.
 */
import { type Lab, labFromXyz, type Viewing, viewing, type WhiteName } from '../color/index.ts';
import { innerProduct, solveLower } from '../math/linear.ts';
import { labByXyz } from './colour-change.ts';
import { applyPolynomial } from './colour-map.ts';
import type { Fit, FitPatch } from './fit-model.ts';
import type { Make } from './paint.ts';
import {
  isWhole,
  labThrough,
  NOISE_WAYS,
  noiseInLab,
  readingNoise,
  relativeReading,
  type ThingRead,
} from './read-through.ts';
import {
  mappedXyz,
  movedPolynomial,
  neighbourhood,
  othersAbout,
  type Scatter,
  type TrainedMap,
  trainMap,
} from './seen-panels.ts';
import { GROUND_COUNT } from './virtual-grounds.ts';

/** A fitted photo, ready to read things through. */
export interface FittedPhoto {
  readonly fit: Fit;
  readonly white: WhiteName;
  readonly map: TrainedMap;
}

/** Joint estimate of n things: Lab (n × 3) and covariance factors, each 3n × columns, row-major. */
export interface Estimate {
  readonly labs: readonly Lab[];
  /** From the fit's unknowns. */
  readonly parameters: { readonly columns: number; readonly factor: Float64Array };
  /** From what three channels cannot tell; a column belongs to the same virtual thing in every photo, see `likesOf`. */
  readonly metamerism: { readonly columns: number; readonly factor: Float64Array };
  /** What each reading has of its own: n × 9. */
  readonly noise: Float64Array;
  /** Whether every channel tells something of each thing (`isWhole`). */
  readonly whole: readonly boolean[];
}

export function fittedPhoto(fit: Fit, white: WhiteName): FittedPhoto {
  return { fit, white, map: trainMap(fit, white) };
}

/** Lab alone, at other unknowns than the fit's: for the check, which needs no covariance. */
export function labAt({ fit, map, white }: FittedPhoto, theta: Float64Array, thing: ThingRead): Lab {
  const q = relativeReading(fit, theta, thing);
  return labThrough(movedPolynomial(map, fit, theta), q, viewing(white));
}

/** Reads things through a fitted photo. */
export function estimate(photo: FittedPhoto, things: readonly ThingRead[]): Estimate {
  const { fit, map, white } = photo;
  const under = viewing(white);
  const size = fit.layout.size;
  const n = things.length;
  const gradients = new Float64Array(3 * n * size);
  const noise = new Float64Array(9 * n);
  const whole: boolean[] = [];
  const likes = likesOf(things, map, fit);
  const columns = likes.at(-1)!.first + likes.at(-1)!.scatter.residuals.length / 3;
  const metamerism = new Float64Array(3 * n * columns);
  const labs = things.map((thing, p): Lab => {
    const byTheta = new Float64Array(3 * size);
    const q = relativeReading(fit, fit.theta, thing, byTheta);
    const xyz = mappedXyz(map.polynomial, q);
    const byXyz = labByXyz(xyz, under);
    const byReading = labByReading(map, q, under);
    for (let a = 0; a < 3; a++)
      for (let k = 0; k < size; k++) {
        let s = 0;
        for (let c = 0; c < 3; c++) s += byReading[3 * a + c] * byTheta[c * size + k];
        gradients[(3 * p + a) * size + k] = s;
      }
    addSensitivityGradients(photo, gradients, p, q, byXyz);
    addOwnNoise(noise, p, byReading, readingNoise(fit, thing, q));
    whole.push(isWhole(thing, q));
    const row = metamerism.subarray(3 * p * columns, 3 * (p + 1) * columns);
    const { first, scatter } = likes.find(({ make }) => make === thing.make)!;
    addMetamerism(row, first, scatter, q, xyz, byXyz);
    return labFromXyz(xyz, under.white);
  });
  for (let row = 0; row < 3 * n; row++)
    solveLower(fit.hessian, size, gradients.subarray(row * size, (row + 1) * size));
  return {
    labs,
    parameters: { columns: size, factor: gradients },
    metamerism: { columns, factor: metamerism },
    noise,
    whole,
  };
}

interface Likes {
  readonly make: Make | undefined;
  readonly scatter: Scatter;
  /** Their first column. */
  readonly first: number;
}

/** Virtual things that are the like of some of these: panels, grounds, any paints, each in columns of their own. */
function likesOf(things: readonly ThingRead[], map: TrainedMap, fit: Fit): Likes[] {
  const grounds = map.training.count;
  const paints = grounds + GROUND_COUNT;
  const likes: Likes[] = [{ make: undefined, scatter: map, first: 0 }];
  for (const [make, first] of [
    ['ground', grounds],
    ['any', paints],
  ] as const)
    if (things.some((t) => t.make === make))
      likes.push({ make, scatter: othersAbout(map, fit, make), first });
  return likes;
}

/** ∂Lab/∂reading, 3 × 3. */
export function labByReading(map: TrainedMap, q: readonly number[], under: Viewing): Float64Array {
  const out = new Float64Array(9);
  for (let c = 0; c < 3; c++) {
    const step = 0.01 * q[c] + 1e-4;
    const plus = q.slice();
    const minus = q.slice();
    plus[c] += step;
    minus[c] = Math.max(1e-6, minus[c] - step);
    const a = labThrough(map.polynomial, plus, under);
    const b = labThrough(map.polynomial, minus, under);
    for (let k = 0; k < 3; k++) out[3 * k + c] = (a[k] - b[k]) / (plus[c] - minus[c]);
  }
  return out;
}

function addOwnNoise(out: Float64Array, p: number, byReading: Float64Array, ways: Float64Array): void {
  const inLab = noiseInLab(byReading, ways);
  for (let a = 0; a < 3; a++)
    for (let b = 0; b < 3; b++)
      out[9 * p + 3 * a + b] = innerProduct(inLab, a * NOISE_WAYS, inLab, b * NOISE_WAYS, NOISE_WAYS);
}

/**
 * What like things scatter about the map: each neighbour's leftover, as Lab at this colour, by the root of its weight. Written
 * to one thing's rows, from column `first` on.
 */
function addMetamerism(
  out: Float64Array,
  first: number,
  scatter: Scatter,
  reading: readonly number[],
  xyz: readonly number[],
  byXyz: Float64Array,
): void {
  const r = scatter.residuals;
  const weights = neighbourhood(scatter, reading);
  const columns = out.length / 3;
  const scaled = byXyz.map((v, i) => v * xyz[i % 3]);
  for (let j = 0; j < weights.length; j++) {
    if (weights[j] < 1e-7) continue;
    const root = Math.sqrt(weights[j]);
    for (let a = 0; a < 3; a++) {
      let s = 0;
      for (let c = 0; c < 3; c++) s += scaled[3 * a + c] * r[3 * j + c];
      out[a * columns + first + j] = root * s;
    }
  }
}

/** ∂Lab/∂mode for the sensitivities, through the map trained anew. */
function addSensitivityGradients(
  { fit, map }: FittedPhoto,
  gradients: Float64Array,
  p: number,
  q: readonly number[],
  byXyz: Float64Array,
): void {
  const { sensitivity, size } = fit.layout;
  const change = new Float64Array(3);
  map.slopes.forEach((slope, k) => {
    applyPolynomial(slope, q[0], q[1], q[2], change, 0);
    for (let a = 0; a < 3; a++) {
      let s = 0;
      for (let c = 0; c < 3; c++) s += byXyz[3 * a + c] * change[c];
      gradients[(3 * p + a) * size + sensitivity + k] += s;
    }
  });
}

/** A card patch as a thing read. */
export function patchAsThing(p: FitPatch): ThingRead {
  return { linear: p.linear, noise: p.noise, usable: p.usable, at: p.at };
}
