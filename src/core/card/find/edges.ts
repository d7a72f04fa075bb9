import type { Raster } from '../../photo/types.ts';
import type { Corners } from './quads.ts';
import { tagHolder } from './tag-code.ts';

/** A dark square's four edges, fitted to the light. */
export interface FittedSquare {
  readonly corners: Corners;
  /** Spread of the edges: standard deviation of the blur across them, px. */
  readonly blur_px: number;
  /** Part of the places looked at that showed the edge, 0–1. */
  readonly support: number;
}

/**
 * Moves the sides of a dark square on bright ground to the middle of the light's slope there, in linear light (gamma
 * would pull the edge into the dark), by lines through the slope's centre of mass at many places along each side.
 *
 * @param corners the square, px, to within `reach_px`
 * @param reach_px how far from the square its edges are looked for at first
 * @param places how many places along a side are looked at, 64 at most
 */
export function fitSquare(
  photo: Raster,
  corners: Corners,
  reach_px: number,
  places: number,
  rounds: number,
): FittedSquare | undefined {
  const { code, about } = tagHolder();
  const workBytes = FITTED_BYTES + code.fitBytes(reach_px);
  return about(photo, corners, 2 * reach_px + 2, workBytes, (work) => {
    const fitted = new Float64Array(code.memory.buffer, work, 10);
    fitted.set(corners);
    if (code.fitSquare(work, reach_px, places, rounds, work + FITTED_BYTES) !== 1) return undefined;
    return { corners: fitted.slice(0, 8), blur_px: fitted[8], support: fitted[9] };
  });
}

/** Corners, blur and support. */
const FITTED_BYTES = 80;
