/** Spectra on the visible range and the common grid of the core. */

/** Values at start_nm, start_nm + step_nm, … (reflectance 0–1, or power in any unit). */
export interface Spectrum {
  readonly start_nm: number;
  readonly step_nm: number;
  readonly values: readonly number[];
}

/** The core's wavelength grid: 36 nodes of 10 nm, 380–730 nm; spectra run linearly between nodes. */
export const GRID = { start_nm: 380, step_nm: 10, count: 36 } as const;

/** Value of a spectrum at a wavelength: linear between nodes, the end value held outside. */
export function valueAt(s: Spectrum, nm: number): number {
  const last = s.values.length - 1;
  const x = (nm - s.start_nm) / s.step_nm;
  if (x <= 0) return s.values[0];
  if (x >= last) return s.values[last];
  const i = Math.floor(x);
  return s.values[i] + (x - i) * (s.values[i + 1] - s.values[i]);
}

/** A spectrum on the core's grid. */
export function toGrid(s: Spectrum): Float64Array {
  return Float64Array.from({ length: GRID.count }, (_, i) => valueAt(s, GRID.start_nm + i * GRID.step_nm));
}

/**
 * Weights on the grid's nodes such that Σ weight·R equals the sum of `fine`·R over the fine table
 * for every R that runs linearly between nodes. `fine` is a table of 5 nm steps from 380 nm.
 */
export function nodeWeights(fine: readonly number[]): Float64Array {
  const w = new Float64Array(GRID.count);
  fine.forEach((v, i) => {
    const x = (i * 5) / GRID.step_nm;
    const j = Math.min(Math.floor(x), GRID.count - 2);
    w[j] += v * (j + 1 - x);
    w[j + 1] += v * (x - j);
  });
  return w;
}
