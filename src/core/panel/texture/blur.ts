/** Gaussian blur of a grid, mirrored at its edges. */

export interface GridSize {
  readonly columns: number;
  readonly rows: number;
}

/**
 * Wider blurs are three running means, whose cost does not grow with the width. Their tails are shorter than a Gaussian's:
 * good for a local mean, but a difference of two blurs would hold 7 % more than one of Gaussians.
 */
const WIDE = 6;

export function blurred(values: Float64Array, size: GridSize, sd: number): Float64Array {
  if (sd < 0.2) return values;
  return sd < WIDE ? gaussian(values, size, sd) : thriceMeans(values, size, sd);
}

function mirrored(i: number, n: number): number {
  let k = i < 0 ? -i - 1 : i;
  if (k >= n) k = Math.max(0, 2 * n - 1 - k);
  return Math.min(k, n - 1);
}

function gaussian(values: Float64Array, { columns, rows }: GridSize, sd: number): Float64Array {
  const reach = Math.ceil(3.5 * sd);
  const kernel = Float64Array.from({ length: reach + 1 }, (_, k) => Math.exp(-0.5 * (k / sd) ** 2));
  const total = kernel.reduce((s, v, k) => s + (k === 0 ? v : 2 * v), 0);
  const across = new Float64Array(values.length);
  const line = new Float64Array(columns + 2 * reach);
  for (let y = 0; y < rows; y++) {
    for (let i = 0; i < line.length; i++) line[i] = values[y * columns + mirrored(i - reach, columns)];
    const row = across.subarray(y * columns, (y + 1) * columns);
    setWeighted(row, kernel[0], line, reach);
    for (let k = 1; k <= reach; k++) addPair(row, kernel[k], line, reach - k, reach + k);
    divide(row, total);
  }
  const out = new Float64Array(values.length);
  for (let y = 0; y < rows; y++) {
    const row = out.subarray(y * columns, (y + 1) * columns);
    setWeighted(row, kernel[0], across, y * columns);
    for (let k = 1; k <= reach; k++)
      addPair(row, kernel[k], across, mirrored(y - k, rows) * columns, mirrored(y + k, rows) * columns);
    divide(row, total);
  }
  return out;
}

// whole rows at a time: no sum waits for the one before, and columns are not walked down

function setWeighted(row: Float64Array, weight: number, from: Float64Array, at: number): void {
  for (let i = 0; i < row.length; i++) row[i] = weight * from[at + i];
}

function addPair(row: Float64Array, weight: number, from: Float64Array, a: number, b: number): void {
  for (let i = 0; i < row.length; i++) row[i] += weight * (from[a + i] + from[b + i]);
}

function divide(row: Float64Array, by: number): void {
  for (let i = 0; i < row.length; i++) row[i] /= by;
}

function thriceMeans(values: Float64Array, { columns, rows }: GridSize, sd: number): Float64Array {
  const across = new Float64Array(values.length);
  const out = new Float64Array(values.length);
  const along = thriceMean(sd, columns);
  for (let y = 0; y < rows; y++) along(values, across, y * columns, 1);
  const down = thriceMean(sd, rows);
  for (let x = 0; x < columns; x++) down(across, out, x, columns);
  return out;
}

/** Blurs a line of values `step` apart, from the one at `at` on. */
type LineBlur = (from: Float64Array, to: Float64Array, at: number, step: number) => void;

/** Running means whose ends count in part, so that any variance is met exactly (extended box filter, Gwosdek et al. 2011). */
function thriceMean(sd: number, length: number): LineBlur {
  const variance = (sd * sd) / 3;
  const reach = Math.floor((Math.sqrt(12 * variance + 1) - 1) / 2);
  const end = ((2 * reach + 1) * (reach * (reach + 1) - 3 * variance)) / (6 * (variance - (reach + 1) ** 2));
  const width = 2 * reach + 1 + 2 * end;
  // the line begins here, with what is mirrored at its ends round it
  const begin = reach + 1;
  const line = new Float64Array(length + 2 * begin);
  const means = new Float64Array(length);
  const mirror = (): void => {
    for (let i = 0; i < begin; i++) {
      line[i] = line[begin + mirrored(i - begin, length)];
      line[begin + length + i] = line[begin + mirrored(length + i, length)];
    }
  };
  return (from, to, at, step) => {
    for (let i = 0; i < length; i++) line[begin + i] = from[at + i * step];
    for (let round = 0; round < 3; round++) {
      mirror();
      let sum = 0;
      for (let k = 1; k <= 2 * reach + 1; k++) sum += line[k];
      for (let i = 0; i < length; i++) {
        const before = line[i];
        const after = line[i + 2 * begin];
        means[i] = (sum + end * (before + after)) / width;
        sum += after - line[i + 1];
      }
      line.set(means, begin);
    }
    for (let i = 0; i < length; i++) to[at + i * step] = means[i];
  };
}
