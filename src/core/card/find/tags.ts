import type { Raster } from '../../photo/types.ts';
import { isPlain, readCells } from './cells.ts';
import { type CodeMatch, MOST_WRONG_BITS, mirrored, nearestCode } from './codes.ts';
import { fitSquare } from './edges.ts';
import { darkQuads, type Level } from './level.ts';
import { type Corners, meanSide } from './quads.ts';

/** A dark square on bright ground with a dark border: a tag, or what might be one. */
export interface Square {
  /** Corners in the photo, px, clockwise from the tag's own top left when it was read. */
  readonly corners: Corners;
  readonly side_px: number;
  /** Of the edges as found; see `wideBlur`. */
  readonly blur_px: number;
  /** The code that it was read as, when no more bits are wrong than can be put right. */
  readonly code: CodeMatch | undefined;
  /** The code that its mirror image was read as. */
  readonly mirrorCode: CodeMatch | undefined;
}

/** All squares with a tag's border that a level of the photo shows, read at full size. */
export function squaresOn(level: Level, photo: Raster): Square[] {
  const squares: Square[] = [];
  for (const quad of darkQuads(level)) {
    const square = readSquare(
      photo,
      quad.map((v) => v * level.factor),
      level.factor,
    );
    if (square) squares.push(square);
  }
  return withoutDoubles(squares);
}

/** Fits a square's edges at full size and reads it. `coarse_px` is how far off its corners may be. */
function readSquare(photo: Raster, corners: Corners, coarse_px: number): Square | undefined {
  const cell = meanSide(corners) / 8;
  const reach = Math.min(0.8 * cell, Math.max(2, 1.6 * coarse_px));
  const fitted = fitSquare(photo, corners, reach, 14, 2);
  if (!fitted || fitted.support < 0.5) return undefined;
  const square = { side_px: meanSide(fitted.corners), blur_px: fitted.blur_px };
  if (isPlain(photo, fitted.corners))
    return { ...square, corners: fitted.corners, code: undefined, mirrorCode: undefined };
  const read = readCells(photo, fitted.corners);
  if (!read) return undefined;
  const plain = nearestCode(read.cells);
  if (plain.wrongBits <= MOST_WRONG_BITS)
    return {
      ...square,
      corners: fromCorner(fitted.corners, plain.turns),
      code: plain,
      mirrorCode: undefined,
    };
  const flipped = nearestCode(mirrored(read.cells));
  return {
    ...square,
    corners: fitted.corners,
    code: undefined,
    mirrorCode: flipped.wrongBits < MOST_WRONG_BITS ? flipped : undefined,
  };
}

/** Blur of a square that could not be read: its edges may be wider than the window that found them. */
export function wideBlur(photo: Raster, { corners, side_px }: Square): number {
  return fitSquare(photo, corners, (0.8 * side_px) / 8, 14, 1)?.blur_px ?? 0;
}

/**
 * The same squares with every tag the other way up. The family is drawn two ways in the world: as published, and
 * turned by half a turn (OpenCV's drawing).
 */
export function turnedOver(squares: readonly Square[]): Square[] {
  return squares.map((s) => (s.code ? { ...s, corners: fromCorner(s.corners, 2) } : s));
}

function fromCorner(corners: Corners, first: number): Corners {
  return Float64Array.from(corners, (_, i) => corners[(i + 2 * first) & 7]);
}

/** One square of each place: nested outlines can lead to the same edges. */
function withoutDoubles(squares: readonly Square[]): Square[] {
  const kept: Square[] = [];
  for (const square of squares) {
    const double = kept.findIndex(
      (k) =>
        Math.hypot(
          k.corners[0] + k.corners[4] - square.corners[0] - square.corners[4],
          k.corners[1] + k.corners[5] - square.corners[1] - square.corners[5],
        ) <
        0.5 * k.side_px,
    );
    if (double < 0) kept.push(square);
    else if (square.code && !kept[double].code) kept[double] = square;
  }
  return kept;
}
