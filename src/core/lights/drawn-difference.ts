/** The difference of two colours that are told from one card: its size with an interval, and as Lab draws. */
import { ciede2000 } from '../color/ciede2000.ts';
import type { Lab } from '../color/index.ts';
import { quantileOfSorted } from '../compare/quantile.ts';
import { isSignificant } from '../compare/significance.ts';
import type { LabEnsemble } from '../correction/index.ts';

export interface DifferenceTold {
  readonly de00: number;
  readonly interval95: readonly [number, number];
  /** False when the draws allow no difference at all. */
  readonly significant: boolean;
}

/**
 * Difference of members i and j. Colours as seen in several lights are drawn towards what panels usually do, so that
 * their draws stand about the truth (they are posterior draws) and the interval is the draws' own, and from 0 where
 * no difference can be told.
 */
export function differenceTold(colours: LabEnsemble, i: number, j: number): DifferenceTold {
  return differenceOf(colours.lab[i], colours.lab[j], drawsOf(colours, i), drawsOf(colours, j));
}

/** The same for two colours given with their draws, count × 3. */
export function differenceOf(a: Lab, b: Lab, drawsA: Float64Array, drawsB: Float64Array): DifferenceTold {
  const terms = new Float64Array(3);
  const de00 = ciede2000(a[0], a[1], a[2], b[0], b[1], b[2], terms);
  const count = drawsA.length / 3;
  const sizes = new Float64Array(count);
  const apart = drawsA.map((v, k) => v - drawsB[k]);
  for (let k = 0; k < count; k++) {
    const [p, q] = [drawsA.subarray(3 * k, 3 * k + 3), drawsB.subarray(3 * k, 3 * k + 3)];
    sizes[k] = ciede2000(p[0], p[1], p[2], q[0], q[1], q[2], terms);
  }
  sizes.sort();
  const significant = isSignificant(apart);
  const low = significant ? quantileOfSorted(sizes, 0.025) : 0;
  const high = quantileOfSorted(sizes, significant ? 0.975 : 0.95);
  return { de00, interval95: [Math.min(low, de00), Math.max(high, de00)], significant };
}

/** Draws of one member, count × 3. */
export function drawsOf({ draws, count, ids }: LabEnsemble, i: number): Float64Array {
  const out = new Float64Array(3 * count);
  for (let k = 0; k < count; k++)
    for (let a = 0; a < 3; a++) out[3 * k + a] = draws[3 * (k * ids.length + i) + a];
  return out;
}
