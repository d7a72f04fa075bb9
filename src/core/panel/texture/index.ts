/**
 * Texture of a panel: sparkle under directional light and graininess under diffuse light, as contrast in bands of
 * spatial frequency on the card's millimetre scale; and how even it is. Figures to compare panels of one shop by, in
 * photos of one kind of light: not those of an instrument, which lights and looks in ways a photo does not.
 */
import type { PointMm, PointPx, QuadPx, Raster } from '../../photo/types.ts';
import { type BandContrast, bandContrasts } from './bands.ts';
import { gridOfLight } from './patch-of-light.ts';

export { type BandContrast, bandContrasts } from './bands.ts';
export { type EvennessMap, evennessMap } from './evenness-map.ts';
export { type GridOfLight, gridOfLight } from './patch-of-light.ts';

/** Bands of the figure, cycles a millimetre: flakes and their clusters of about .3 to 2 mm. */
const FIGURE_BANDS = [0.35, 0.7, 1.4] as const;
/** Bands read besides where the photo is fine enough. */
const FINER_BANDS = [2.8] as const;

export interface Texture {
  /** `sparkle` when the light is directional (sun, lamp), `graininess` when it is diffuse (shade, shop). */
  readonly kind: 'sparkle' | 'graininess';
  /** 100 × the root-sum-square of the contrast in the bands from .35 to 1.4 cycles a millimetre. */
  readonly figure: number;
  /** How much of it is single bright points, −1 to several. */
  readonly skewness: number;
  /** Size of what carries most contrast, mm: half a cycle. */
  readonly grain_mm: number;
  readonly bands: readonly BandContrast[];
  readonly photo_px_per_mm: number;
  /** What to mind; empty when all is well. */
  readonly remarks: readonly string[];
}

/** Photos coarser than this hold too little of the figure's finest band. */
export const FEWEST_PX_PER_MM = 6;

/**
 * Texture of a panel, or undefined where the photo can't tell: coarser than six pixels a millimetre (flakes too fine for
 * it), or too small a panel. The same to within a tenth between 8 and 24 pixels a millimetre in a sharp photo; a blurred
 * one reads low, a noisy one high.
 */
export function panelTexture(
  raster: Raster,
  corners_px: QuadPx,
  toMm: (p: PointPx) => PointMm,
  kind: Texture['kind'],
): Texture | undefined {
  const grid = gridOfLight(raster, corners_px, toMm);
  if (!grid || grid.photo_px_per_mm < FEWEST_PX_PER_MM) return undefined;
  const bands = bandContrasts(grid, [...FIGURE_BANDS, ...FINER_BANDS]);
  const counted = bands.filter((b) => b.cycles_per_mm <= FIGURE_BANDS[FIGURE_BANDS.length - 1]);
  const power = counted.reduce((s, b) => s + b.contrast ** 2, 0);
  if (counted.length < FIGURE_BANDS.length) return undefined;
  const strongest = bands.reduce((a, b) => (b.contrast > a.contrast ? b : a));
  const clipped = grid.light.reduce((s, v) => s + (Number.isNaN(v) ? 1 : 0), 0) / grid.light.length;
  return {
    kind,
    figure: 100 * Math.sqrt(power),
    skewness: counted.reduce((s, b) => s + (b.contrast ** 2 / Math.max(power, 1e-12)) * b.skewness, 0),
    grain_mm: 0.5 / strongest.cycles_per_mm,
    bands,
    photo_px_per_mm: grid.photo_px_per_mm,
    remarks: [
      ...(clipped > 0.005
        ? ['the brightest flakes are clipped in this photo: expose darker to see how bright they are']
        : []),
      ...(strongest.cycles_per_mm === bands[bands.length - 1].cycles_per_mm
        ? ['most of the texture is as fine as this photo shows, or finer: come closer']
        : []),
    ],
  };
}

/** Two panels' texture in words; undefined when they were seen in different kinds of light. */
export function textureWords(a: Texture, b: Texture): string | undefined {
  if (a.kind !== b.kind) return undefined;
  const ratio = a.figure / Math.max(b.figure, 1e-6);
  const more = a.kind === 'sparkle' ? ['sparkles more', 'sparkles less'] : ['grainier', 'smoother'];
  const size = a.grain_mm > 1.4 * b.grain_mm ? ', coarser' : b.grain_mm > 1.4 * a.grain_mm ? ', finer' : '';
  // photos of one panel differ by about a tenth
  if (ratio > 1.2) return `${more[0]}${size}`;
  if (ratio < 1 / 1.2) return `${more[1]}${size}`;
  return size === '' ? 'no difference in texture told' : `as strong${size}`;
}
