/**
 * Texture of a panel: sparkle under directional light and graininess under diffuse light, as contrast in bands of
 * spatial frequency on the card's millimetre scale; and how even it is. Figures to compare panels of one shop by, in
 * photos of one kind of light: not those of an instrument, which lights and looks in ways a photo does not.
 */
import type { PointMm, PointPx, QuadPx, Raster } from '../../photo/types.ts';
import { brightestPossible, clippedShare } from './clipped.ts';
import { type GridOfLight, gridOfLight } from './patch-of-light.ts';
import { FIGURE_BANDS, type PhotoTexture, sum, type TrueBand, trueBands } from './true-bands.ts';

export { type BandPower, bandPowers } from './bands.ts';
export { type EvennessMap, evennessMap, type Stripes } from './evenness-map.ts';
export { type GridOfLight, gridOfLight, pxPerMm } from './patch-of-light.ts';
export { blurOfEdges, type SharpEdge } from './sharpness.ts';
export { BANDS, type PhotoTexture } from './true-bands.ts';

/** What a degree of sight spans at one metre, mm: from there a painter judges a finish. */
const MM_A_DEGREE = 17.45;

/** Share of a band's contrast that the eye takes in at one metre (Mannos and Sakrison 1974: contrast sensitivity, 1 at its best). */
function seenShare(cycles_per_mm: number): number {
  const f = 0.114 * MM_A_DEGREE * cycles_per_mm;
  return 2.6 * (0.0192 + f) * Math.exp(-(f ** 1.1));
}

/** One band of a panel's texture: root-mean-square of its light over the local mean, 0 to about 1. */
export interface BandContrast {
  readonly cycles_per_mm: number;
  readonly contrast: number;
}

export interface Texture {
  /** `sparkle` when the light is directional (sun, lamp), `graininess` when it is diffuse (shade, shop). */
  readonly kind: 'sparkle' | 'graininess';
  /** 100 × the root-sum-square of the contrast in the bands of .35, .7 and 1.4 cycles a millimetre, each as the eye takes it in at a metre. */
  readonly figure: number;
  /** Where flakes are clipped, from the light that is there at least to as much as there may be. */
  readonly interval95: readonly [number, number];
  /** How many times as high the figure may be for flakes that are clipped; 1 where none is. */
  readonly clipped_gain: number;
  /** Relative standard error of the figure by itself, without what panels of one photo share. */
  readonly own_error: number;
  /** How much of it is single bright points, −1 to several. */
  readonly skewness: number;
  /** Middle size of what carries the contrast in those bands, mm (half a cycle): flakes under some .3 mm are all told as finest. */
  readonly grain_mm: number;
  readonly bands: readonly BandContrast[];
  readonly photo_px_per_mm: number;
  /** What to mind; empty when all is well. */
  readonly remarks: readonly string[];
}

/** Photos coarser than this hold too little of the figure's finest band. */
export const FEWEST_PX_PER_MM = 6;

/** What of the noise and of the blur's share, taken off and put back, may be wrong. */
const DOUBT_OF_NOISE = 0.3;
const DOUBT_OF_BLUR = 0.25;

const UNKNOWN: PhotoTexture = { blur_px: undefined, noise: () => 0 };

/**
 * Texture of a panel, or undefined where the photo can't tell: coarser than six pixels a millimetre (flakes too fine for
 * it), or too small a panel. The photo's noise is taken off, and what its blur takes is put back, as its card shows
 * them: so the figure is the same to within a tenth between 8 and 24 pixels a millimetre.
 */
export function panelTexture(
  raster: Raster,
  corners_px: QuadPx,
  toMm: (p: PointPx) => PointMm,
  kind: Texture['kind'],
  {
    photo = UNKNOWN,
    toLight,
  }: { readonly photo?: PhotoTexture; readonly toLight?: (v: number) => number } = {},
): Texture | undefined {
  const grid = gridOfLight(raster, corners_px, toMm, toLight);
  if (!grid || grid.photo_px_per_mm < FEWEST_PX_PER_MM) return undefined;
  const bands = trueBands(grid, photo);
  const counted = bands.filter(isCounted);
  if (counted.length < FIGURE_BANDS.length) return undefined;
  const seen = (of: (b: TrueBand) => number): number[] => counted.map((b) => seenPower(b, of));
  const power = sum(seen((b) => b.power));
  const brightest = brightestPossible(grid);
  const most = brightest
    ? Math.max(
        power,
        sum(
          trueBands(brightest, photo)
            .filter(isCounted)
            .map((b) => seenPower(b)),
        ),
      )
    : power;
  const own = Math.hypot(...seen((b) => b.error));
  const shared = Math.hypot(
    DOUBT_OF_NOISE * sum(seen((b) => b.noise)),
    DOUBT_OF_BLUR * sum(seen((b) => b.restored)),
  );
  const spread = 1.96 * Math.hypot(own, shared);
  const strongest = bands.reduce((a, b) => (b.power > a.power ? b : a));
  const figureOf = (p: number): number => 100 * Math.sqrt(Math.max(0, p));
  return {
    kind,
    figure: figureOf(power),
    interval95: [figureOf(power - spread), figureOf(most + spread)],
    clipped_gain: power > 0 ? Math.sqrt(most / power) : 1,
    own_error: power > 0 ? (0.5 * own) / power : 1,
    skewness: meanBy(counted, (b) => b.skewness),
    grain_mm: 0.5 / Math.exp(meanBy(counted, (b) => Math.log(b.cycles_per_mm))),
    bands: bands.map((b) => ({
      cycles_per_mm: b.cycles_per_mm,
      contrast: Math.sqrt(Math.max(0, b.power)),
    })),
    photo_px_per_mm: grid.photo_px_per_mm,
    remarks: remarksOn(grid, bands, strongest),
  };
}

const isCounted = ({ cycles_per_mm }: TrueBand): boolean =>
  cycles_per_mm <= FIGURE_BANDS[FIGURE_BANDS.length - 1];

/** A band's power, or what is asked of it, as the eye takes it in. */
const seenPower = (band: TrueBand, of: (b: TrueBand) => number = (b) => b.power): number =>
  seenShare(band.cycles_per_mm) ** 2 * of(band);

/** Mean over bands, each by its power. */
function meanBy(bands: readonly TrueBand[], of: (b: TrueBand) => number): number {
  const weights = bands.map((b) => Math.max(b.power, 1e-12));
  return sum(bands.map((b, i) => weights[i] * of(b))) / sum(weights);
}

function remarksOn(grid: GridOfLight, bands: readonly TrueBand[], strongest: TrueBand): string[] {
  const noise = sum(bands.map((b) => b.noise));
  const power = sum(bands.map((b) => b.power));
  return [
    ...(clippedShare(grid) > 0.005
      ? ['the brightest flakes are clipped in this photo: expose darker to see how bright they are']
      : []),
    ...(noise > power
      ? ['most of what is seen is the photo’s own noise: take it in more light, or from closer by']
      : strongest.cycles_per_mm === bands[bands.length - 1].cycles_per_mm
        ? ['most of the texture is as fine as this photo shows, or finer: come closer']
        : []),
  ];
}

/** Two panels' texture, `a` against `b`: how many times as strong, and in words. */
export interface TextureCompared {
  readonly ratio: number;
  readonly interval95: readonly [number, number];
  readonly words: string;
}

/** Photos of one panel differ by about a tenth. */
const BETWEEN_PHOTOS = 0.1;
/** From where another grain size is told. */
const OTHER_SIZE = 1.15;

/** Undefined when the two were seen in different kinds of light. */
export function compareTexture(a: Texture, b: Texture, samePhoto: boolean): TextureCompared | undefined {
  if (a.kind !== b.kind) return undefined;
  const ratio = a.figure / Math.max(b.figure, 1e-6);
  const error = Math.hypot(a.own_error, b.own_error, samePhoto ? 0.02 : BETWEEN_PHOTOS);
  const interval95 = [
    (ratio / b.clipped_gain) * Math.exp(-1.96 * error),
    ratio * a.clipped_gain * Math.exp(1.96 * error),
  ] as const;
  const more = a.kind === 'sparkle' ? ['sparkles more', 'sparkles less'] : ['grainier', 'smoother'];
  const size =
    a.grain_mm > OTHER_SIZE * b.grain_mm
      ? 'coarser'
      : b.grain_mm > OTHER_SIZE * a.grain_mm
        ? 'finer'
        : undefined;
  const strength = interval95[0] > 1.05 ? more[0] : interval95[1] < 1 / 1.05 ? more[1] : undefined;
  // told by what is clipped alone
  const isHidden = strength === undefined && Math.max(a.clipped_gain, b.clipped_gain) > 1.05;
  const words = [isHidden ? `too bright in the photo to tell which ${more[0]}` : strength, size]
    .filter((w) => w !== undefined)
    .join(', ');
  return { ratio, interval95, words: words || 'no difference in texture told' };
}
