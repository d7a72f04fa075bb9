import { ciede2000 } from '../color/ciede2000.ts';
import { deltaE2000, type Lab, lchDifference, localFrame } from '../color/index.ts';
import type { LabEnsemble } from '../correction/types.ts';
import { quantileOfSorted } from './quantile.ts';
import { isSignificant } from './significance.ts';

/** The difference of two colours of an ensemble, first minus second, with what the draws say of it. */
export interface DrawnDifference {
  /** CIEDE2000 of the two centres. */
  readonly de00: number;
  readonly interval95: readonly [number, number];
  readonly dL: number;
  readonly dC: number;
  readonly dH: number;
  /** False when the draws allow the two colours to be the same. */
  readonly significant: boolean;
  /** ΔL′/S_L, ΔC′/S_C, ΔH′/S_H of the centres: how much each direction weighs in ΔE2000. */
  readonly weighted: readonly [number, number, number];
  /** Share of the draws in which each of the three has the centre's sign. */
  readonly signShare: readonly [number, number, number];
}

/**
 * Quantile of the draws' differences that an upper end reaches at least: where one axis errs up to 17 times as much as another,
 * normal errors leave the truth above the interval in at most 7 of 100 photos with it, in up to 21 without.
 */
const LEAST_HIGH = 0.9;

/**
 * Compares members i and j of an ensemble draw by draw, so that errors they share cancel.
 *
 * The interval. A ΔE cannot go below zero, so plain quantiles of the draws' ΔE miss the truth when two colours are
 * nearly equal. When the draws' mean difference is not significant (squared Mahalanobis distance under 7.815), it
 * runs from 0 to the draws' 95 % quantile. Otherwise its ends are the differences, larger or smaller in the direction
 * seen, that would come out as the one seen or beyond in 2.5 % of photos (the test turned into an interval; the
 * draws' own 2.5 % quantile would still miss low one to three standard deviations from zero). The one seen is here the
 * draws' mean: draws through something bent, as a film is, have another mean than the best single answer. Where one axis is
 * known well and another badly, the well known one alone can make a difference significant; what may still lie along the
 * other is in the draws' own differences, and the upper end reaches at least that far.
 */
export function differenceOfDraws(colours: LabEnsemble, i: number, j: number): DrawnDifference {
  const a = colours.lab[i];
  const b = colours.lab[j];
  const seen = new Float64Array(3);
  const de00 = ciede2000(a[0], a[1], a[2], b[0], b[1], b[2], seen);
  const { differences, labDifferences, signShare } = overDraws(colours, i, j, seen);
  differences.sort();
  const significant = isSignificant(labDifferences);
  const [low, high] = significant
    ? significantEnds(colours, i, j, labDifferences, quantileOfSorted(differences, LEAST_HIGH))
    : [0, quantileOfSorted(differences, 0.95)];
  return {
    de00,
    // the centre is the best single answer, so the interval always holds it
    interval95: [Math.min(low, de00), Math.max(high, de00)],
    ...lchDifference(a, b),
    significant,
    weighted: [seen[0], seen[1], seen[2]],
    signShare,
  };
}

interface OverDraws {
  /** ΔE2000 of each draw. */
  readonly differences: Float64Array;
  /** Lab difference of each draw, count × 3. */
  readonly labDifferences: Float64Array;
  readonly signShare: readonly [number, number, number];
}

function overDraws({ draws, count, ids }: LabEnsemble, i: number, j: number, seen: Float64Array): OverDraws {
  const differences = new Float64Array(count);
  const stride = 3 * ids.length;
  const agree: [number, number, number] = [0, 0, 0];
  const labDifferences = new Float64Array(3 * count);
  const terms = new Float64Array(3);
  for (let k = 0; k < count; k++) {
    const p = k * stride + 3 * i;
    const q = k * stride + 3 * j;
    differences[k] = ciede2000(
      draws[p],
      draws[p + 1],
      draws[p + 2],
      draws[q],
      draws[q + 1],
      draws[q + 2],
      terms,
    );
    for (let t = 0; t < 3; t++) {
      if (terms[t] * seen[t] >= 0) agree[t] += 1 / count;
      labDifferences[3 * k + t] = draws[p + t] - draws[q + t];
    }
  }
  return { differences, labDifferences, signShare: agree };
}

/** Both ends of a significant difference, the upper one at `leastHigh` or above. */
function significantEnds(
  { draws, count, ids }: LabEnsemble,
  i: number,
  j: number,
  labDifferences: Float64Array,
  leastHigh: number,
): [number, number] {
  const stride = 3 * ids.length;
  const a = meanOf(draws, 3 * i, stride, count);
  const b = meanOf(draws, 3 * j, stride, count);
  const scaleOf = scaleIn(a, b);
  const scales = Float64Array.from({ length: count }, (_, k) => scaleOf(labDifferences, 3 * k)).sort();
  const mean_de00 = deltaE2000(a, b);
  return [
    mean_de00 * quantileOfSorted(scales, 0.025),
    Math.max(mean_de00 * quantileOfSorted(scales, 0.975), leastHigh),
  ];
}

/** Mean of `count` triples that stand `stride` apart, the first at `first`. */
function meanOf(draws: Float64Array, first: number, stride: number, count: number): Lab {
  let [x, y, z] = [0, 0, 0];
  for (let k = 0; k < count; k++) {
    const at = first + k * stride;
    x += draws[at];
    y += draws[at + 1];
    z += draws[at + 2];
  }
  return [x / count, y / count, z / count];
}

/**
 * How many times the mean difference a true one would be, did a draw's error turn it into the mean one: with w the difference
 * of a and b and e a draw's error (its Lab difference, at `at`, less that of a and b), both in the
 * local frame of ΔE2000 between a and b: the largest t ≥ 0 with |t·w + e| = |w|; 0 when the error alone is as large as w.
 */
function scaleIn(a: Lab, b: Lab): (drawn: Float64Array, at: number) => number {
  const f = localFrame([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2]);
  const [x, y, z] = [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
  const [w0, w1, w2] = [f[0] * x + f[1] * y + f[2] * z, f[4] * y + f[5] * z, f[8] * z];
  const ww = w0 * w0 + w1 * w1 + w2 * w2;
  return (drawn, at) => {
    const ex = drawn[at] - x;
    const ey = drawn[at + 1] - y;
    const ez = drawn[at + 2] - z;
    const e0 = f[0] * ex + f[1] * ey + f[2] * ez;
    const e1 = f[4] * ey + f[5] * ez;
    const e2 = f[8] * ez;
    const ee = e0 * e0 + e1 * e1 + e2 * e2;
    if (!(ww > ee)) return 0;
    const we = w0 * e0 + w1 * e1 + w2 * e2;
    return (-we + Math.sqrt(we * we + ww * (ww - ee))) / ww;
  };
}
