/** A panel's contrast in bands as it is without the photo's noise and blur. */
import { type BandPower, bandPowers, powerThrough } from './bands.ts';
import { type GridOfLight, meanLight } from './patch-of-light.ts';

/** Bands of the figure, cycles a millimetre: flakes and their clusters of about .3 to 2 mm. */
export const FIGURE_BANDS = [0.35, 0.7, 1.4] as const;
/** Bands read besides where the photo is fine enough. */
const FINER_BANDS = [2.8] as const;
/** All that are read. */
export const BANDS: readonly number[] = [...FIGURE_BANDS, ...FINER_BANDS];

/** What the card's own markers and patches show of the photo. */
export interface PhotoTexture {
  /** Width of the photo's blur, px; undefined where the card has no edge to tell it by. */
  readonly blur_px: number | undefined;
  /** Power of the photo's noise in a band at a light (the photo's own scale). */
  readonly noise: (cycles_per_mm: number, light: number) => number;
}

export interface TrueBand {
  readonly cycles_per_mm: number;
  /** Without noise and blur; below 0 where the noise was less than thought. */
  readonly power: number;
  readonly noise: number;
  readonly restored: number;
  readonly error: number;
  readonly skewness: number;
}

/** Rounds in which the spectrum's fall and what the blur takes settle. */
const ROUNDS = 3;
/** The steepest fall that is followed; the edges of discs fall with the third power. */
const STEEPEST = 4;

export function trueBands(grid: GridOfLight, photo: PhotoTexture): TrueBand[] {
  const light = meanLight(grid);
  const bands = bandPowers(grid, BANDS).map((band) => {
    const noise = Math.min(band.power, photo.noise(band.cycles_per_mm, light));
    // the mean over a cell blurs as well: as a box of its side, of variance side² / 12
    const lens_mm2 = ((photo.blur_px ?? 0) / grid.photo_px_per_mm) ** 2;
    return {
      ...band,
      noise,
      seen: band.power - noise,
      blur_mm: Math.sqrt(lens_mm2 + band.cell_mm ** 2 / 12),
    };
  });
  const throughAt = (falls: readonly number[]): number[] =>
    bands.map((b, i) => powerThrough(b.cycles_per_mm, b.blur_mm, falls[i]));
  let through = throughAt(bands.map(() => 0));
  for (let round = 0; round < ROUNDS; round++)
    through = throughAt(fallsOf(bands.map((b, i) => ({ ...b, power: b.seen / through[i] }))));
  return bands.map(({ cycles_per_mm, noise, seen, blocks, skewness }, i) => ({
    cycles_per_mm,
    power: seen / through[i],
    noise: noise / through[i],
    restored: seen / through[i] - seen,
    error: standardError(blocks) / through[i],
    skewness,
  }));
}

/**
 * How steeply the spectrum falls in each band, told from the band below (from the one above for the first): what lies in
 * the lower half of a band is blurred less. An even spectrum holds four times the power in each next octave.
 */
function fallsOf(bands: readonly Pick<BandPower, 'cycles_per_mm' | 'power'>[]): number[] {
  return bands.map((_, i) => {
    const [low, high] = [bands[Math.max(0, i - 1)], bands[Math.max(1, i)] ?? bands[0]];
    if (!(low.power > 0 && high.power > 0 && high !== low)) return 0;
    const rise = Math.log(high.power / low.power) / Math.log(high.cycles_per_mm / low.cycles_per_mm);
    return Math.min(STEEPEST, Math.max(0, 2 - rise));
  });
}

function standardError(blocks: readonly number[]): number {
  const n = blocks.length;
  if (n < 2) return blocks[0] ?? 0;
  const mean = sum(blocks) / n;
  return Math.sqrt(sum(blocks.map((b) => (b - mean) ** 2)) / (n * (n - 1)));
}

export const sum = (v: readonly number[]): number => v.reduce((a, b) => a + b, 0);
