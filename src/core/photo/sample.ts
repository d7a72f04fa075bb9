import type { Vec3 } from '../math/linear.ts';
import { innerQuad, isConvexQuad, quadArea } from './polygon.ts';
import { readCells } from './sample-cells.ts';
import { evenFallOff, type FallOff, fitFallOff, LEVEL } from './sample-field.ts';
import { standardErrors, sumsOf } from './sample-noise.ts';
import { type AreaPixels, type UnusedBits, visitPixels } from './sample-pixels.ts';
import { classifyTiles, markSpecks, markSpoilt, type Spoilt, TILE_FLOOR } from './sample-spots.ts';
import { addTiles, tilesOf } from './sample-tiles.ts';
import type { QuadPx, Raster, Reading } from './types.ts';

export interface SampleOptions {
  /** Share of the width and of the height trimmed on every side, 0 to under .5, less half a pixel. Default .15 (a card patch). */
  readonly margin?: number;
  /** About how many pixels are visited at most, spread evenly. Default 2500: more would lower the
   * noise of a mean by less than a tenth of a percent. */
  readonly maxPixels?: number;
  /** Pixels known to be glare or covered, besides those that the rule itself leaves out. */
  readonly spoilt?: Spoilt | undefined;
}

/** A channel of which more than this is clipped is unsound by itself; below it, its clipped pixels are left out of all. */
const UNSOUND_CLIPPED = 0.05;

/**
 * With fewer pixels there are no sixteen tiles to tell glare and dust by; an edge that blur darkens would be taken for dust in
 * one photo and not in the next.
 */
const FEWEST_JUDGED = 320;

/** How much less than its share of a side is trimmed, px. */
const SPARED_PX = 0.55;

/** A cell with fewer pixels left than this has no colour of its own. */
const FEWEST_CELL_PIXELS = 12;

/** What is read off an area no pixel of which lies in the photo. */
const NOTHING_READ: Reading = {
  linear: [0, 0, 0],
  noise: [1, 1, 1],
  clippedHigh: [0, 0, 0],
  clippedLow: [0, 0, 0],
  pixels: 0,
  glareFraction: 0,
  dustFraction: 0,
  centre_px: [0, 0],
};

/**
 * The colour of a quadrilateral's middle: a mean in linear light over the pixels that belong to the surface.
 *
 * The rule, in order:
 * 1. A plane of log light shared by the channels is fitted to the best 60 % of a grid of tiles and undone, so that
 *    light falling off across the area costs no pixel (`fitFallOff`).
 * 2. Tiles brighter than the sound ones' median by more than max(5 scatters, .8 root steps) in any channel are
 *    glare; darker ones or ones of another hue are dust; their neighbours follow at a finer limit (`classifyTiles`).
 *    An area of fewer than 320 pixels is not divided.
 *    White glare over a saturated colour shows in its weakest channel, so each channel is judged by itself.
 * 3. Single pixels beyond max(6 scatters, 4 root steps) are specks; many bright ones are sparkle and stay
 *    (`markSpecks`).
 * 4. Clipped pixels never enter a mean. Where more than 5 % of the surface is clipped in one channel, that channel
 *    is unsound by itself and the others keep those pixels; a channel that is clipped throughout reads its limit.
 * 5. The mean is that of the light with fall-off undone, restored at the mean position of the accepted pixels.
 *
 * `glareFraction` and `dustFraction` are shares of all pixels visited; `clippedHigh` and `clippedLow` are shares of
 * the surface, that is without glare and dust. `noise` is the standard error of `linear` (`standardErrors`).
 * An area that is no convex quadrilateral, or wholly outside the photo, gives `pixels: 0`; one partly outside is read
 * where it is inside (see `quadInsidePhoto`).
 */
export function sampleQuad(raster: Raster, quad: QuadPx, options: SampleOptions = {}): Reading {
  return read(raster, quad, options).reading;
}

/**
 * As `sampleQuad`, with the readings of 4 × 4 cells of the same middle, row by row, under the same verdicts on
 * glare and dust; cells with fewer than 12 pixels left are not given.
 */
export function sampleQuadInCells(
  raster: Raster,
  quad: QuadPx,
  options: SampleOptions = {},
): { readonly reading: Reading; readonly cells: readonly Reading[] } {
  const { reading, area, fall, unused } = read(raster, quad, options);
  if (!area || reading.pixels === 0) return { reading, cells: [] };
  return {
    reading,
    cells: readCells(area, fall, unused, reading, FEWEST_CELL_PIXELS),
  };
}

interface ReadArea {
  readonly reading: Reading;
  /** Undefined when nothing was read. */
  readonly area: AreaPixels | undefined;
  readonly fall: FallOff;
  readonly unused: UnusedBits;
}

function read(
  raster: Raster,
  quad: QuadPx,
  { margin = 0.15, maxPixels = 2500, spoilt }: SampleOptions,
): ReadArea {
  const nothing: ReadArea = {
    reading: NOTHING_READ,
    area: undefined,
    fall: LEVEL,
    unused: { any: 0, channel: [0, 0, 0] },
  };
  if (!isConvexQuad(quad)) return nothing;
  const area = visitPixels(raster, innerQuad(quad, trimmed(quad, margin)), maxPixels);
  if (area.count === 0) return nothing;

  const side = addTiles(area);
  const even = evenFallOff(area, side, TILE_FLOOR);
  const isJudged = !even && area.count >= FEWEST_JUDGED;
  const fall = even ?? (isJudged ? fitFallOff(area) : LEVEL);
  if (isJudged) {
    const { code, verdicts } = area.workspace;
    verdicts.set(classifyTiles(area, tilesOf(area, side), fall));
    code.markTiles(area.count, verdicts.byteOffset);
  }
  if (spoilt) markSpoilt(area, spoilt);
  undoFallOff(area, fall);
  markSpecks(area);

  const { glare, dust, clippedHigh, clippedLow } = countKinds(area);
  const unused = unusedBits(clippedHigh, clippedLow);
  const reading: Reading = {
    ...meanLight(raster, area, fall, unused),
    clippedHigh,
    clippedLow,
    glareFraction: glare / area.count,
    dustFraction: dust / area.count,
  };
  return { reading, area, fall, unused };
}

/** Share of a side to trim: a small area, of whose pixels none is to spare, gives up a little less. */
function trimmed(quad: QuadPx, margin: number): number {
  return Math.max(0, margin - SPARED_PX / Math.sqrt(quadArea(quad)));
}

/** Scales the root values to what they would be under the light at the area's middle. */
function undoFallOff({ workspace, count }: AreaPixels, { alongU, alongV }: FallOff): void {
  if (alongU !== 0 || alongV !== 0) workspace.code.undoFallOff(count, alongU, alongV);
}

/** Pixels left out, and the shares of the others that are clipped. */
function countKinds({ workspace: { code, out }, count }: AreaPixels): {
  readonly glare: number;
  readonly dust: number;
  readonly clippedHigh: Vec3;
  readonly clippedLow: Vec3;
} {
  code.countKinds(count);
  const [glare, dust, highR, highG, highB, lowR, lowG, lowB] = out;
  const surface = Math.max(1, count - glare - dust);
  return {
    glare,
    dust,
    clippedHigh: [highR / surface, highG / surface, highB / surface],
    clippedLow: [lowR / surface, lowG / surface, lowB / surface],
  };
}

function unusedBits(high: Vec3, low: Vec3): UnusedBits {
  let any = 0;
  const own = [0, 0, 0];
  for (let c = 0; c < 3; c++) {
    const share = high[c] + low[c];
    const bits = 9 << c;
    if (share <= UNSOUND_CLIPPED) any |= bits;
    // clipped throughout: its limit is all there is to read
    else if (share < 1) own[c] = bits;
  }
  return { any, channel: [any | own[0], any | own[1], any | own[2]] };
}

function meanLight(
  raster: Raster,
  area: AreaPixels,
  fall: FallOff,
  unused: UnusedBits,
): Pick<Reading, 'linear' | 'noise' | 'pixels' | 'centre_px'> {
  const sums = sumsOf(area, unused);
  const { pixels, channels } = sums;
  if (pixels === 0) return { linear: [0, 0, 0], noise: [1, 1, 1], pixels, centre_px: [0, 0] };
  // the logarithm of the fall-off is linear in position, so its mean is the fall-off at the mean position
  const atCentre = Math.exp((fall.alongU * sums.u + fall.alongV * sums.v) / pixels);
  const scale = atCentre * 1e-6;
  const mean = (c: 0 | 1 | 2): number => (scale * channels[3 * c + 1]) / Math.max(1, channels[3 * c]);
  return {
    linear: [mean(0), mean(1), mean(2)],
    noise: standardErrors(raster, area, sums, scale),
    pixels: Math.round(pixels),
    centre_px: [sums.x / pixels, sums.y / pixels],
  };
}
