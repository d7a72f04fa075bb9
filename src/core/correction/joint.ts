/**
 * All readings of all things as one Gaussian. A thing read in several photos is joined, and a thing known from
 * an instrument is conditioned on, by one generalised least squares: what readings share pulls the others along.
 */
import type { Lab } from '../color/index.ts';
import { cholesky, choleskySolve, solveLower } from '../math/linear.ts';
import { seededRandom } from '../math/random.ts';
import type { LabEnsemble } from './types.ts';

/** One Lab observation of thing `thing`; rows of `covariance` in the order of the observations. */
export interface JointObservations {
  readonly things: readonly number[];
  readonly labs: readonly Lab[];
  /** 3m × 3m, row-major. */
  readonly covariance: Float64Array;
}

export interface JointColours {
  readonly labs: Lab[];
  /** 3n × 3n. */
  readonly covariance: Float64Array;
  /** Squared Mahalanobis distance of the observations from the joined colours, and its degrees of freedom. */
  readonly misfit: number;
  readonly freedom: number;
}

/** Joins observations into `count` things. Every thing must have at least one observation. */
export function joinObservations(count: number, o: JointObservations): JointColours {
  const m = 3 * o.things.length;
  const n = 3 * count;
  const l = cholesky(o.covariance, m, 1e-6);
  // whitened design and observations
  const design = Array.from({ length: n }, () => new Float64Array(m));
  const y = new Float64Array(m);
  o.things.forEach((thing, i) => {
    for (let a = 0; a < 3; a++) {
      design[3 * thing + a][3 * i + a] = 1;
      y[3 * i + a] = o.labs[i][a];
    }
  });
  for (const column of design) solveLower(l, m, column);
  solveLower(l, m, y);
  const precision = new Float64Array(n * n);
  const b = new Float64Array(n);
  for (let p = 0; p < n; p++) {
    b[p] = dot(design[p], y);
    for (let q = 0; q <= p; q++) {
      precision[p * n + q] = dot(design[p], design[q]);
      precision[q * n + p] = precision[p * n + q];
    }
  }
  const factor = cholesky(precision, n, 1e-12);
  const x = choleskySolve(factor, n, b.slice());
  const covariance = new Float64Array(n * n);
  for (let p = 0; p < n; p++) {
    const unit = new Float64Array(n);
    unit[p] = 1;
    covariance.set(choleskySolve(factor, n, unit), p * n);
  }
  const labs = Array.from({ length: count }, (_, i) => [x[3 * i], x[3 * i + 1], x[3 * i + 2]] as Lab);
  return { labs, covariance, misfit: Math.max(0, dot(y, y) - dot(x, b)), freedom: m - n };
}

/** As many degrees of freedom believe beforehand that observations scatter as stated: few of them say little. */
const BELIEVED_FREEDOM = 12;

/**
 * The same with wider doubt when the observations of things seen more than once are further apart than their covariance has
 * it, by the Birge ratio misfit / freedom (R. T. Birge, The calculation of errors by the method of least squares, Physical
 * Review 40, 1932). Never narrower: that they agree does not show what errors they have in common.
 */
export function widenedByMisfit(joint: JointColours): JointColours {
  const ratio = (BELIEVED_FREEDOM + joint.misfit) / (BELIEVED_FREEDOM + joint.freedom);
  return ratio > 1 ? { ...joint, covariance: joint.covariance.map((v) => ratio * v) } : joint;
}

function dot(a: Float64Array, b: Float64Array): number {
  let s = 0;
  for (let i = 0; i < a.length; i++) s += a[i] * b[i];
  return s;
}

/** Number of draws an ensemble carries. */
export const DRAWS = 256;
const DRAW_SEED = 64;

/** Draws from the joint Gaussian, in mirrored pairs, so that their mean is the centre. */
export function drawEnsemble(
  white: string,
  ids: readonly string[],
  labs: readonly Lab[],
  covariance: Float64Array,
): LabEnsemble {
  const n = 3 * ids.length;
  const l = cholesky(covariance, n, 1e-8);
  const random = seededRandom(DRAW_SEED);
  const draws = new Float64Array(DRAWS * n);
  const z = new Float64Array(n);
  for (let k = 0; k < DRAWS; k += 2) {
    for (let i = 0; i < n; i++) z[i] = random.normal();
    for (let i = 0; i < n; i++) {
      let d = 0;
      for (let j = 0; j <= i; j++) d += l[i * n + j] * z[j];
      const centre = labs[Math.floor(i / 3)][i % 3];
      draws[k * n + i] = centre + d;
      draws[(k + 1) * n + i] = centre - d;
    }
  }
  return { white, ids, lab: labs, count: DRAWS, draws };
}
