/** From the planes of a tile to RGB: what the picture and its container have to say for it to be of the usual kind. */
import type { CodedTile } from './grid.ts';

/** Interleaved RGB, 8 bit, in the decoder's memory: there until the next picture begins. */
export interface DecodedTile {
  readonly width_px: number;
  readonly height_px: number;
  readonly data: Uint8Array;
  /** Bytes from row to row. */
  readonly stride: number;
}

/** A decoder's memory, as WebAssembly gives it. */
interface DecoderMemory {
  readonly memory: { readonly buffer: ArrayBufferLike };
}

/** The picture that a decoder converted, `stride` bytes a row. Throws RangeError where `at` says that it had no memory. */
export function decodedAt(
  { memory }: DecoderMemory,
  at: number,
  width_px: number,
  height_px: number,
  stride: number,
): DecodedTile {
  if (at === 0) throw new RangeError('no memory');
  return { width_px, height_px, data: new Uint8Array(memory.buffer, at, stride * height_px), stride };
}

/** Factors from chroma to RGB in 1/256: red from Cr, green from Cb and from Cr, blue from Cb. */
export type ChromaFactors = readonly [number, number, number, number];

/** Kr and Kb of the matrices that photos come with, by their codes (ITU-T H.273, table 4: BT.709, BT.601 twice). */
const LUMA_WEIGHTS: Readonly<Record<number, readonly [red: number, blue: number]>> = {
  1: [0.2126, 0.0722],
  5: [0.299, 0.114],
  6: [0.299, 0.114],
};

/**
 * The factors of a matrix, named by its code (ITU-T H.273, 8.3). Throws RangeError where it is none of the usual, or the
 * container's codes, where there are any, say otherwise than the full range and this matrix.
 */
export function chromaFactors(bytes: Uint8Array, { nclx }: CodedTile, matrix: number): ChromaFactors {
  const weights = LUMA_WEIGHTS[matrix];
  if (!weights || (nclx && !agrees(bytes.subarray(nclx.from + 8, nclx.to), matrix)))
    throw new RangeError('an unusual kind of HEVC');
  const [red, blue] = weights;
  const green = 1 - red - blue;
  const factors = [
    2 * (1 - red),
    (-2 * blue * (1 - blue)) / green,
    (-2 * red * (1 - red)) / green,
    2 * (1 - blue),
  ];
  return factors.map((f) => Math.round(256 * f)) as [number, number, number, number];
}

function agrees([high, low, range]: Uint8Array, matrix: number): boolean {
  return 256 * high + low === matrix && range >> 7 === 1;
}
