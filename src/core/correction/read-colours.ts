/**
 * Reads things through the corrections of their photos, all at once: one thing in several photos is joined, things
 * known from an instrument pull their like along, and what readings share cancels in differences.
 */
import { type Lab, localFrame, type WhiteName } from '../color/index.ts';
import { cholesky, choleskySolve, invert3, type Mat3, type Vec3 } from '../math/linear.ts';
import type { PhotoCorrection } from './correct-photo.ts';
import { drawEnsemble, type JointColours, joinObservations, widenedByMisfit } from './joint.ts';
import { addSightings, type Sighting } from './sightings.ts';
import { SHARED_BY_SOURCE } from './stated.ts';
import type { LabEnsemble } from './types.ts';

/** A thing's colour as stated by an instrument, or by an earlier measurement. */
export interface StatedColour {
  readonly thing: number;
  readonly lab: Lab;
  /** Standard uncertainty, root-mean-square ΔE2000. */
  readonly u: number;
  /** Stated colours of one source (a photo) share part of their error. */
  readonly source?: string;
}

/** Two readings of one thing that differ by more than their uncertainty allows: indices of photos, or a stated colour. */
export interface Disagreement {
  readonly thing: number;
  readonly between: readonly [number | 'stated', number | 'stated'];
}

export interface ReadColours {
  readonly ensemble: LabEnsemble;
  readonly u95: readonly Vec3[];
  readonly disagreements: readonly Disagreement[];
}

/**
 * 99.9 % point of χ² with 3 degrees of freedom: what three channels cannot tell has longer tails than a Gaussian, and two
 * or three joined panels in a hundred are named wrongly all the same.
 */
const DISAGREES = 16.27;
/** An instrument is believed longer against a photo: past this (1 in 20 000) something else is wrong. */
const CONTRADICTS = 23;

/** Joint colours of things. Every thing needs a sighting or a stated colour. */
export function readColours(
  white: WhiteName,
  ids: readonly string[],
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
  stated: readonly StatedColour[] = [],
): ReadColours {
  const rows = sightings.length + stated.length;
  const covariance = new Float64Array(9 * rows * rows);
  const labs: Lab[] = new Array(rows);
  addSightings(covariance, labs, rows, corrections, sightings);
  addStated(covariance, labs, rows, sightings.length, stated);
  const disagreements = widenWhereTheyDisagree(covariance, labs, rows, sightings, stated);
  const things = [...sightings.map((s) => s.thing), ...stated.map((k) => k.thing)];
  const joint = widenedByMisfit(joinObservations(ids.length, { things, labs, covariance }));
  return {
    ensemble: drawEnsemble(white, ids, joint.labs, joint.covariance),
    u95: ids.map((_, i) => halfWidths(joint, i)),
    disagreements,
  };
}

function halfWidths({ covariance, labs }: JointColours, i: number): Vec3 {
  const diagonal = 3 * labs.length + 1;
  return [0, 1, 2].map((a) => 1.96 * Math.sqrt(covariance[(3 * i + a) * diagonal])) as unknown as Vec3;
}

function addStated(
  covariance: Float64Array,
  labs: Lab[],
  rows: number,
  first: number,
  stated: readonly StatedColour[],
): void {
  stated.forEach((k, i) => {
    labs[first + i] = k.lab;
    stated.forEach((other, j) => {
      const alike = k.source !== undefined && k.source === other.source ? SHARED_BY_SOURCE : 0;
      const share = i === j ? 1 : alike;
      if (share === 0) return;
      const block = frameCovariance(k.lab, Math.sqrt(Math.max(k.u, 0.05) * Math.max(other.u, 0.05)));
      for (let a = 0; a < 3; a++)
        for (let b = 0; b < 3; b++)
          covariance[(3 * (first + i) + a) * 3 * rows + 3 * (first + j) + b] =
            share * 0.5 * (block[3 * a + b] + block[3 * b + a]);
    });
  });
  symmetrise(covariance, 3 * rows);
}

/** Lab covariance of a colour whose standard uncertainty is `u`: each axis of the local ΔE2000 frame has u²/3. */
function frameCovariance(lab: Lab, u: number): Mat3 {
  const inverse = invert3(localFrame(lab) as unknown as Mat3);
  const out = new Array<number>(9).fill(0);
  for (let a = 0; a < 3; a++)
    for (let b = 0; b < 3; b++)
      for (let k = 0; k < 3; k++) out[3 * a + b] += ((u * u) / 3) * inverse[3 * a + k] * inverse[3 * b + k];
  return out as unknown as Mat3;
}

function symmetrise(m: Float64Array, n: number): void {
  for (let i = 0; i < n; i++)
    for (let j = 0; j < i; j++) {
      const mean = 0.5 * (m[i * n + j] + m[j * n + i]);
      m[i * n + j] = mean;
      m[j * n + i] = mean;
    }
}

/**
 * Readings of one thing that are further apart than they may be get the difference as extra uncertainty of their own,
 * and are named: two photos (a metallic panel tilted to the light does that), a photo and a stated colour (of
 * another panel, or mistyped), or two stated colours.
 */
function widenWhereTheyDisagree(
  covariance: Float64Array,
  labs: readonly Lab[],
  rows: number,
  sightings: readonly Sighting[],
  stated: readonly StatedColour[],
): Disagreement[] {
  const found: Disagreement[] = [];
  const extra = new Float64Array(rows);
  const origins: readonly { thing: number; from: Disagreement['between'][0] }[] = [
    ...sightings.map(({ thing, photo }) => ({ thing, from: photo })),
    ...stated.map(({ thing }) => ({ thing, from: 'stated' as const })),
  ];
  origins.forEach(({ thing, from }, i) => {
    for (let j = 0; j < i; j++) {
      const other = origins[j];
      if (other.thing !== thing || (other.from === from && from !== 'stated')) continue;
      const d = Float64Array.of(labs[i][0] - labs[j][0], labs[i][1] - labs[j][1], labs[i][2] - labs[j][2]);
      const between = differenceCovariance(covariance, rows, i, j);
      const distance = choleskySolve(cholesky(between, 3, 1e-6), 3, d.slice()).reduce(
        (a, v, k) => a + v * d[k],
        0,
      );
      if (distance <= (from === 'stated' ? CONTRADICTS : DISAGREES)) continue;
      found.push({ thing, between: [other.from, from] });
      const widen = (d[0] ** 2 + d[1] ** 2 + d[2] ** 2) / 6;
      extra[i] = Math.max(extra[i], widen);
      extra[j] = Math.max(extra[j], widen);
    }
  });
  for (let i = 0; i < 3 * rows; i++) covariance[i * (3 * rows + 1)] += extra[Math.floor(i / 3)];
  return found;
}

function differenceCovariance(covariance: Float64Array, rows: number, i: number, j: number): Float64Array {
  const at = (p: number, q: number, a: number, b: number): number =>
    covariance[(3 * p + a) * 3 * rows + 3 * q + b];
  const out = new Float64Array(9);
  for (let a = 0; a < 3; a++)
    for (let b = 0; b < 3; b++)
      out[3 * a + b] = at(i, i, a, b) + at(j, j, a, b) - at(i, j, a, b) - at(j, i, a, b);
  return out;
}
