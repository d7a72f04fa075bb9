import type { AreaPixels } from './sample-pixels.ts';

/** How light falls across an area: linear light goes as exp(alongU·u + alongV·v). */
export interface FallOff {
  readonly alongU: number;
  readonly alongV: number;
}

/** Light that does not fall off. */
export const LEVEL: FallOff = { alongU: 0, alongV: 0 };

/**
 * The plane of log light through all of an area's tiles (`side` × `side`), when none of them leaves it by more than `within`
 * root steps in any channel: then there is no glare or shadow to look for, and no more to do. Else undefined.
 */
export function evenFallOff({ workspace }: AreaPixels, side: number, within: number): FallOff | undefined {
  const { code, tiles, fallOff, out } = workspace;
  const isEven = code.evenFallOff(tiles.byteOffset, side * side, fallOff, within, out.byteOffset);
  return isEven === 1 ? { alongU: out[0], alongV: out[1] } : undefined;
}

/**
 * The plane of log light shared by the three channels that fits the best 60 % of an area's tiles: least trimmed squares by
 * concentration steps (Rousseeuw and Van Driessen 2006) from the whole area and each of its halves. To be called after
 * `evenFallOff` of the same area, with whose logarithms it goes on.
 */
export function fitFallOff({ workspace: { code, out } }: AreaPixels): FallOff {
  code.fitFallOff(out.byteOffset);
  return { alongU: out[0], alongV: out[1] };
}
