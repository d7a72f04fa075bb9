import { type Bits, nextValue, signedBits } from './bits.ts';
import type { Component } from './frame.ts';

/** Column and row of the coefficients in zigzag order (ITU-T T.81, figure A.6). */
const ZIGZAG = zigzag();

/** Per coefficient in zigzag order, its picture over the 64 pixels of a block (T.81, A.3.3). */
const WAVES = ZIGZAG.map(([u, v]) => {
  const scale = (k: number): number => (k === 0 ? Math.SQRT1_2 : 1);
  return Float64Array.from({ length: 64 }, (_, i) => {
    const along = Math.cos(((2 * (i & 7) + 1) * u * Math.PI) / 16);
    const down = Math.cos(((2 * (i >> 3) + 1) * v * Math.PI) / 16);
    return 0.25 * scale(u) * scale(v) * along * down;
  });
});

/** A block as it is read; one is used for all blocks of a component. */
export interface Block {
  /** Last DC value, in steps: the next block tells its difference. */
  dc: number;
  /** The mean of its pixels, not rounded. */
  mean: number;
  kind: 'even' | 'quiet' | 'lively';
  /** What a decoder makes of its pixels: whole numbers. Not filled in for a lively block; only the first for an even one. */
  readonly decoded: Float64Array;
}

export const freshBlock = (): Block => ({ dc: 0, mean: 0, kind: 'even', decoded: new Float64Array(64) });

const places = new Uint8Array(64);
const sizes = new Float64Array(64);

/**
 * Reads the next block of a component. Throws RangeError when the data are broken.
 *
 * @param lively summed squares of its coefficients, 64 × the variance of its pixels, from which a block is called lively
 */
export function readBlock(bits: Bits, { steps, dc, ac }: Component, block: Block, lively: number): void {
  block.dc += signedBits(bits, nextValue(bits, dc));
  block.mean = (block.dc * steps[0]) / 8 + 128;
  let energy = 0;
  let count = 0;
  for (let k = 1; k < 64; k++) {
    const value = nextValue(bits, ac);
    const size = value & 15;
    if (size === 0) {
      if (value < 0xf0) break;
      k += 15;
      continue;
    }
    k += value >> 4;
    if (k > 63) throw new RangeError('its JPEG data are broken');
    const coefficient = steps[k] * signedBits(bits, size);
    if (energy >= lively) continue;
    energy += coefficient * coefficient;
    places[count] = k;
    sizes[count] = coefficient;
    count++;
  }
  block.kind = count === 0 ? 'even' : energy >= lively ? 'lively' : 'quiet';
  if (block.kind === 'even') block.decoded[0] = Math.round(block.mean);
  else if (block.kind === 'quiet') decodeQuiet(block, count);
}

function decodeQuiet({ mean, decoded }: Block, count: number): void {
  decoded.fill(mean);
  for (let n = 0; n < count; n++) {
    const wave = WAVES[places[n]];
    for (let i = 0; i < 64; i++) decoded[i] += sizes[n] * wave[i];
  }
  for (let i = 0; i < 64; i++) decoded[i] = Math.round(decoded[i]);
}

function zigzag(): (readonly [number, number])[] {
  const order: (readonly [number, number])[] = [];
  for (let diagonal = 0; diagonal < 15; diagonal++)
    for (let k = Math.max(0, diagonal - 7); k <= Math.min(7, diagonal); k++)
      order.push(diagonal % 2 === 0 ? [k, diagonal - k] : [diagonal - k, k]);
  return order;
}
