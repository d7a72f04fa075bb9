import type { Vec3 } from '../math/linear.ts';
import { CELLS } from './area-code.ts';
import type { FallOff } from './sample-field.ts';
import { skipsOf } from './sample-noise.ts';
import type { AreaPixels, UnusedBits } from './sample-pixels.ts';
import type { Reading } from './types.ts';

/**
 * Readings of a grid of 4 × 4 cells of an area whose glare and dust are already marked, so that a cell
 * that lies wholly in glare gives nothing instead of the glare's colour. Each cell carries its own light: fall-off is
 * restored at its own middle. Cells with fewer than `fewest` pixels left are not given.
 *
 * `whole` is the area's own reading: its standard error over that of independent pixels says how much neighbours
 * share, and scales the cells' standard errors.
 */
export function readCells(
  area: AreaPixels,
  fall: FallOff,
  unused: UnusedBits,
  whole: Reading,
  fewest: number,
): Reading[] {
  const { code, out: sums } = area.workspace;
  code.addCells(area.count, unused.any, skipsOf(unused), CELLS);
  const cells = Array.from({ length: CELLS ** 2 }, (_, k) => sums.subarray(k * WIDTH, (k + 1) * WIDTH));
  const shared = sharedNoise(cells, whole);
  const readings: Reading[] = [];
  for (const s of cells) {
    if (s[1] < fewest) continue;
    const level = Math.exp((fall.alongU * s[4] + fall.alongV * s[5]) / s[1]);
    const mean = (c: number): number => (s[6 + 3 * c] > 0 ? s[7 + 3 * c] / s[6 + 3 * c] : 0);
    const error = (c: number): number =>
      shared[c] * level * Math.sqrt(variance(s, c) / Math.max(1, s[6 + 3 * c]));
    readings.push({
      linear: [level * mean(0), level * mean(1), level * mean(2)],
      noise: [error(0), error(1), error(2)],
      clippedHigh: whole.clippedHigh,
      clippedLow: whole.clippedLow,
      pixels: s[1],
      glareFraction: 1 - s[1] / s[0],
      dustFraction: 0,
      centre_px: [s[2] / s[1], s[3] / s[1]],
    });
  }
  return readings;
}

/** Numbers a cell: pixels seen, pixels kept, sums of x, y, u and v, then per channel count, sum and sum of squares. */
const WIDTH = 15;

function variance(s: Float64Array, c: number): number {
  const n = s[6 + 3 * c];
  if (n < 2) return 0;
  const mean = s[7 + 3 * c] / n;
  return Math.max(0, (s[8 + 3 * c] / n - mean * mean) * (n / (n - 1)));
}

/** Per channel, the area's standard error over the one that independent pixels of the cells' scatter would give. */
function sharedNoise(cells: readonly Float64Array[], whole: Reading): Vec3 {
  const ratio = (c: number): number => {
    let within = 0;
    let n = 0;
    for (const s of cells) {
      within += variance(s, c) * s[6 + 3 * c];
      n += s[6 + 3 * c];
    }
    const independent = Math.sqrt(within) / Math.max(1, n);
    return independent > 0 ? Math.max(1, whole.noise[c] / independent) : 1;
  };
  return [ratio(0), ratio(1), ratio(2)];
}
