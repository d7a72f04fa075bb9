/** Flakes brighter than the photo can hold: how bright they may be. */
import type { GridOfLight } from './patch-of-light.ts';

/** Share of clipped cells up to which nothing is missed that counts. */
const CLIPPED_COUNTS = 0.0005;
/** Clipped cells are held against so many times as many of the brightest that are not. */
const HELD_AGAINST = 2;
/** Light missed at most, in times of what is expected: the tail of flakes is not known to be exponential. */
const AT_MOST = 2;

/** Share of the cells, 0–1, that are clipped. */
export function clippedShare({ clipped, light }: GridOfLight): number {
  let [n, all] = [0, 0];
  for (let i = 0; i < light.length; i++)
    if (!Number.isNaN(light[i])) {
      n += clipped[i];
      all++;
    }
  return n / Math.max(1, all);
}

/**
 * The grid with its clipped cells as bright as they may be; undefined where hardly any is clipped. How much light is
 * missed on average is told by the brightest cells that are not clipped, as in a lifetime test stopped early: the total
 * excess over a threshold, by the number of cells of known excess (exponential tail, censored).
 */
export function brightestPossible(grid: GridOfLight): GridOfLight | undefined {
  const share = clippedShare(grid);
  if (share <= CLIPPED_COUNTS) return undefined;
  const { light, clipped } = grid;
  const known = light.filter((v, i) => clipped[i] === 0 && !Number.isNaN(v)).sort();
  const missing = light.filter((v, i) => clipped[i] === 1 && !Number.isNaN(v));
  const threshold = known[Math.max(0, Math.floor(known.length - HELD_AGAINST * missing.length))] ?? 0;
  const over = known.filter((v) => v > threshold);
  const total = [...over, ...missing].reduce((s, v) => s + Math.max(0, v - threshold), 0);
  const missed = (AT_MOST * total) / Math.max(1, over.length);
  return { ...grid, light: light.map((v, i) => (clipped[i] === 1 ? v + missed : v)) };
}
