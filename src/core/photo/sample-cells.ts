import type { Vec3 } from '../math/linear.ts';
import type { FallOff } from './sample-field.ts';
import type { AreaPixels } from './sample-pixels.ts';
import type { Reading } from './types.ts';

/**
 * Readings of a grid of `side` × `side` cells of an area whose glare and dust are already marked, so that a cell
 * that lies wholly in glare gives nothing instead of the glare's colour. Each cell carries its own light: fall-off is
 * restored at its own middle. Cells with fewer than `fewest` pixels left are not given.
 *
 * `whole` is the area's own reading: its standard error over that of independent pixels says how much neighbours
 * share, and scales the cells' standard errors.
 */
export function readCells(
  area: AreaPixels,
  fall: FallOff,
  unused: { readonly any: number; readonly channel: Vec3 },
  whole: Reading,
  side: number,
  fewest: number,
): Reading[] {
  const cells = side * side;
  const last = side - 1;
  // per cell: pixels seen, pixels kept, x, y, ln of fall-off, then per channel count, sum and sum of squares
  const width = 14;
  const sums = new Float64Array(cells * width);
  const { u, v, x, y, kind, clipped, root } = area;
  for (let i = 0; i < area.count; i++) {
    const column = Math.min(last, Math.max(0, ((u[i] + 0.5) * side) | 0));
    const row = Math.min(last, Math.max(0, ((v[i] + 0.5) * side) | 0));
    const at = (row * side + column) * width;
    sums[at]++;
    if (kind[i] !== 0 || clipped[i] & unused.any) continue;
    sums[at + 1]++;
    sums[at + 2] += x[i] + 0.5;
    sums[at + 3] += y[i] + 0.5;
    sums[at + 4] += fall.alongU * u[i] + fall.alongV * v[i];
    for (let c = 0; c < 3; c++) {
      if (clipped[i] & unused.channel[c]) continue;
      const value = root[c][i] * root[c][i] * root[c][i] * 1e-6;
      sums[at + 5 + 3 * c]++;
      sums[at + 6 + 3 * c] += value;
      sums[at + 7 + 3 * c] += value * value;
    }
  }
  const shared = sharedNoise(sums, width, cells, whole);
  const readings: Reading[] = [];
  for (let k = 0; k < cells; k++) {
    const s = sums.subarray(k * width, (k + 1) * width);
    if (s[1] < fewest) continue;
    const level = Math.exp(s[4] / s[1]);
    const mean = (c: number): number => (s[5 + 3 * c] > 0 ? s[6 + 3 * c] / s[5 + 3 * c] : 0);
    const error = (c: number): number =>
      shared[c] * level * Math.sqrt(variance(s, c) / Math.max(1, s[5 + 3 * c]));
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

function variance(s: Float64Array, c: number): number {
  const n = s[5 + 3 * c];
  if (n < 2) return 0;
  const mean = s[6 + 3 * c] / n;
  return Math.max(0, (s[7 + 3 * c] / n - mean * mean) * (n / (n - 1)));
}

/** Per channel, the area's standard error over the one that independent pixels of the cells' scatter would give. */
function sharedNoise(sums: Float64Array, width: number, cells: number, whole: Reading): Vec3 {
  const ratio = (c: number): number => {
    let within = 0;
    let n = 0;
    for (let k = 0; k < cells; k++) {
      const s = sums.subarray(k * width, (k + 1) * width);
      within += variance(s, c) * s[5 + 3 * c];
      n += s[5 + 3 * c];
    }
    const independent = Math.sqrt(within) / Math.max(1, n);
    return independent > 0 ? Math.max(1, whole.noise[c] / independent) : 1;
  };
  return [ratio(0), ratio(1), ratio(2)];
}
