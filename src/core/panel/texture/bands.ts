/** Contrast of a grid of light in bands of spatial frequency: differences of Gaussian blurs, in cycles a millimetre. */
import type { GridOfLight } from './patch-of-light.ts';

/** An octave band by its middle, cycles a millimetre. */
export interface BandContrast {
  readonly cycles_per_mm: number;
  /** Root-mean-square of the band's light over the local mean light, 0 to about 1. */
  readonly contrast: number;
  /** Skewness of the band: bright points on a darker film give a positive one. */
  readonly skewness: number;
}

/** A difference of Gaussians of widths s and s·1.6 passes most at about 1/(5.2 s) cycles (Marr and Hildreth 1980). */
const RATIO = 1.6;
const MIDDLE = 5.2;

/** Contrast in each band whose middle the grid can hold: at least four samples a cycle. */
export function bandContrasts(grid: GridOfLight, middles: readonly number[]): BandContrast[] {
  const mean = filled(grid);
  return middles
    .filter((m) => grid.photo_px_per_mm >= 4 * m && grid.per_mm >= 4 * m)
    .map((cycles_per_mm) => {
      const s = grid.per_mm / (MIDDLE * cycles_per_mm);
      const fine = blurred(mean, grid, s);
      const coarse = blurred(mean, grid, RATIO * s);
      const local = blurred(mean, grid, 4 * s);
      let n = 0;
      let sum = 0;
      let squares = 0;
      let cubes = 0;
      const edge = Math.ceil(3 * RATIO * s);
      for (let y = edge; y < grid.rows - edge; y++)
        for (let x = edge; x < grid.columns - edge; x++) {
          const i = y * grid.columns + x;
          if (Number.isNaN(grid.light[i])) continue;
          const v = (fine[i] - coarse[i]) / Math.max(local[i], 1e-5);
          n++;
          sum += v;
          squares += v * v;
          cubes += v * v * v;
        }
      if (n < 100) return { cycles_per_mm, contrast: 0, skewness: 0 };
      const m = sum / n;
      const variance = Math.max(squares / n - m * m, 1e-12);
      const skewness = (cubes / n - 3 * m * (squares / n) + 2 * m ** 3) / variance ** 1.5;
      return { cycles_per_mm, contrast: Math.sqrt(variance), skewness };
    });
}

/** Clipped samples take the grid's mean, and are left out of every sum. */
function filled({ light }: GridOfLight): Float64Array {
  let sum = 0;
  let n = 0;
  for (const v of light)
    if (!Number.isNaN(v)) {
      sum += v;
      n++;
    }
  const mean = n > 0 ? sum / n : 0;
  return light.map((v) => (Number.isNaN(v) ? mean : v));
}

/** Gaussian blur along rows and columns, mirrored at the edges. */
export function blurred(
  values: Float64Array,
  { columns, rows }: Pick<GridOfLight, 'columns' | 'rows'>,
  sd: number,
): Float64Array {
  if (sd < 0.2) return values;
  const reach = Math.ceil(3.5 * sd);
  const kernel = Float64Array.from({ length: reach + 1 }, (_, k) => Math.exp(-0.5 * (k / sd) ** 2));
  const total = kernel.reduce((s, v, k) => s + (k === 0 ? v : 2 * v), 0);
  const across = new Float64Array(values.length);
  const mirrored = (i: number, n: number): number => {
    let k = i < 0 ? -i - 1 : i;
    if (k >= n) k = Math.max(0, 2 * n - 1 - k);
    return Math.min(k, n - 1);
  };
  const pass = (
    from: Float64Array,
    to: Float64Array,
    length: number,
    lines: number,
    step: number,
    line: number,
  ): void => {
    for (let l = 0; l < lines; l++)
      for (let i = 0; i < length; i++) {
        let s = kernel[0] * from[l * line + i * step];
        for (let k = 1; k <= reach; k++)
          s +=
            kernel[k] *
            (from[l * line + mirrored(i - k, length) * step] +
              from[l * line + mirrored(i + k, length) * step]);
        to[l * line + i * step] = s / total;
      }
  };
  pass(values, across, columns, rows, 1, columns);
  const out = new Float64Array(values.length);
  pass(across, out, rows, columns, columns, 1);
  return out;
}
