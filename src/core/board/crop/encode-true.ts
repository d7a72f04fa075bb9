/** A picture's file with the picture's own mean colour, though the format rounds colours. */
import { BAYER } from './dither.ts';

/** Off by less than this, in 8 bit steps of a channel's mean, a file is left as it is: some .2 ΔE. */
const CLOSE = 0.35;
const ROUNDS = 6;
/** Side of the squares that JPEG keeps one mean chroma for. */
const BLOCK = 8;
/** Steps over which the squares' shifts spread, so that of some the chroma rounds up and of others down. */
const SPREAD = 1.5;
/** Shifts of the dither by channel, so that the three do not move together. */
const PHASE = [0, 19, 44] as const;

/**
 * JPEG rounds chroma to whole steps, which moves the mean of an even colour by up to half a ΔE. Encodes, looks at what a
 * reader will see and, where that is off, moves the picture against it: by squares, a step more or less, as fine mottling
 * below what an eye sees.
 */
export async function encodeTrue(
  { rgb, width_px }: { readonly rgb: Uint8Array; readonly width_px: number },
  encode: (rgb: Uint8Array) => Promise<Uint8Array>,
  decode: (file: Uint8Array) => Promise<Uint8Array>,
): Promise<Uint8Array> {
  const wanted = means(rgb);
  const offset = [0, 0, 0];
  let best: { readonly file: Uint8Array; readonly off: number } | undefined;
  for (let round = 0; round < ROUNDS; round++) {
    const file = await encode(round === 0 ? rgb : moved(rgb, width_px, offset));
    const seen = means(await decode(file));
    const off = Math.max(...seen.map((v, c) => Math.abs(v - wanted[c])));
    if (!best || off < best.off) best = { file, off };
    if (off < CLOSE) break;
    seen.forEach((v, c) => {
      offset[c] += wanted[c] - v;
    });
  }
  return best!.file;
}

function means(rgb: Uint8Array): number[] {
  const sum = [0, 0, 0];
  for (let i = 0; i < rgb.length; i += 3) for (let c = 0; c < 3; c++) sum[c] += rgb[i + c];
  return sum.map((s) => (3 * s) / rgb.length);
}

function moved(rgb: Uint8Array, width_px: number, offset: readonly number[]): Uint8Array {
  return rgb.map((value, i) => {
    const c = i % 3;
    const pixel = (i - c) / 3;
    const row = Math.floor(pixel / width_px / BLOCK) & 7;
    const column = Math.floor((pixel % width_px) / BLOCK) & 7;
    const threshold = BAYER[(8 * row + column + PHASE[c]) & 63];
    return Math.max(0, Math.min(255, value + Math.round(offset[c] + SPREAD * (threshold - 0.5))));
  });
}
