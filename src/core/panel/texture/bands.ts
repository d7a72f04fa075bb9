/** Contrast of a grid of light in bands of spatial frequency: differences of Gaussian blurs, in cycles a millimetre. */
import { blurred } from './blur.ts';
import { type GridOfLight, meanLight } from './patch-of-light.ts';

/** What a grid holds in one octave band. Powers are variances of the band's light over the local mean light. */
export interface BandPower {
  /** Middle of the band. */
  readonly cycles_per_mm: number;
  readonly power: number;
  /** The same of each block of the area: their scatter says how well the whole is known. */
  readonly blocks: readonly number[];
  /** Skewness of the band: bright points on a darker film give a positive one. */
  readonly skewness: number;
  /** Side of the cells that light was averaged over before, mm. */
  readonly cell_mm: number;
}

/** A difference of Gaussians of widths s and s·1.6 passes most at about 1/(5.2 s) cycles (Marr and Hildreth 1980). */
const RATIO = 1.6;
const MIDDLE = 5.2;
/** Samples a cycle that a band needs, and that are plenty. */
const SAMPLES = 4;
const PLENTY = 8;
/** Blocks along each side, and samples that a block needs. */
const BLOCKS = 5;
const FEWEST = 60;
/** A block this much brighter than the middle one is a reflection, not the panel. */
const MIRRORED = 1.35;

/** The bands whose middle the grid can hold, and that have enough samples. */
export function bandPowers(grid: GridOfLight, middles: readonly number[]): BandPower[] {
  return middles
    .filter((m) => Math.min(grid.photo_px_per_mm, grid.per_mm) >= SAMPLES * m)
    .flatMap((cycles_per_mm) => {
      const reduced = reducedGrid(grid, Math.floor(grid.per_mm / (PLENTY * cycles_per_mm)));
      const s = reduced.per_mm / (MIDDLE * cycles_per_mm);
      const blocks = soundBlocks(blockSums(reduced, filled(reduced), s));
      if (blocks.length === 0) return [];
      const [n, sum, squares, cubes] = [0, 1, 2, 3].map((k) => blocks.reduce((t, b) => t + b[k], 0));
      const mean = sum / n;
      const power = Math.max(squares / n - mean * mean, 1e-12);
      const skewness = (cubes / n - 3 * mean * (squares / n) + 2 * mean ** 3) / power ** 1.5;
      return [
        {
          cycles_per_mm,
          power,
          skewness,
          blocks: blocks.map((b) => Math.max(0, b[2] / b[0] - mean * mean)),
          cell_mm: reduced.per_mm < grid.photo_px_per_mm ? 1 / reduced.per_mm : 0,
        },
      ];
    });
}

/**
 * Share of power that a blur of Gaussian width `sd_mm` leaves in a band whose spectrum falls as frequency^−`fall`:
 * 0 for specks finer than the band, some 3 for flakes coarser than it.
 */
export function powerThrough(cycles_per_mm: number, sd_mm: number, fall = 0): number {
  const s = 1 / (MIDDLE * cycles_per_mm);
  let [all, left] = [0, 0];
  for (let k = 1; k <= 60; k++) {
    const f = (k / 20) * cycles_per_mm;
    const w = 2 * (Math.PI * f) ** 2;
    const band = (Math.exp(-w * s * s) - Math.exp(-w * (RATIO * s) ** 2)) ** 2 * f ** (1 - fall);
    all += band;
    left += band * Math.exp(-2 * w * sd_mm * sd_mm);
  }
  return left / all;
}

/** The grid without what is said of single cells. */
type Light = Omit<GridOfLight, 'clipped'>;

/** Means over squares of `factor` samples; a square with one that does not count does not count. */
function reducedGrid({ clipped, ...grid }: GridOfLight, factor: number): Light {
  if (factor < 2) return grid;
  const [columns, rows] = [Math.floor(grid.columns / factor), Math.floor(grid.rows / factor)];
  const light = new Float64Array(columns * rows);
  for (let y = 0; y < rows * factor; y++) {
    const row = Math.floor(y / factor) * columns;
    for (let x = 0; x < columns * factor; x++)
      light[row + Math.floor(x / factor)] += grid.light[y * grid.columns + x] / (factor * factor);
  }
  return { ...grid, columns, rows, light, per_mm: grid.per_mm / factor };
}

/** Of each block: samples, sums of the band's light and its powers, sum of the local light. */
function blockSums(grid: Light, light: Float64Array, s: number): Float64Array[] {
  const fine = blurred(light, grid, s);
  const coarse = blurred(light, grid, RATIO * s);
  const local = blurred(light, grid, 4 * s);
  const edge = Math.ceil(3 * RATIO * s);
  const [across, down] = [grid.columns - 2 * edge, grid.rows - 2 * edge];
  if (across < 8 || down < 8) return [];
  const side = Math.max(1, Math.min(BLOCKS, Math.floor(Math.sqrt((across * down) / FEWEST))));
  const sums = Array.from({ length: side * side }, () => new Float64Array(5));
  for (let y = 0; y < down; y++)
    for (let x = 0; x < across; x++) {
      const i = (y + edge) * grid.columns + x + edge;
      if (Number.isNaN(grid.light[i])) continue;
      const v = (fine[i] - coarse[i]) / Math.max(local[i], 1e-5);
      const block = sums[Math.floor((y * side) / down) * side + Math.floor((x * side) / across)];
      block[0]++;
      block[1] += v;
      block[2] += v * v;
      block[3] += v * v * v;
      block[4] += local[i];
    }
  return sums.filter((b) => b[0] >= FEWEST / 2);
}

function soundBlocks(blocks: Float64Array[]): Float64Array[] {
  const levels = blocks.map((b) => b[4] / b[0]);
  const middle = [...levels].sort((a, b) => a - b)[levels.length >> 1];
  return blocks.filter((_, i) => levels[i] < MIRRORED * middle);
}

/** Samples that do not count take the grid's mean, and are left out of every sum. */
function filled(grid: Light): Float64Array {
  const mean = meanLight(grid);
  return grid.light.map((v) => (Number.isNaN(v) ? mean : v));
}
