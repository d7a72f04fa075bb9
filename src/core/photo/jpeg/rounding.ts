import { type Block, freshBlock, readBlock } from './block.ts';
import { baselineFrame, type Frame } from './frame.ts';
import { storedPlaces } from './stored-places.ts';
import { type Rounding, UNKNOWN_OFFSET } from './types.ts';
import { goTo, placesOfUnits } from './units.ts';

/**
 * What a decoder's rounding to 8 bit took off the colours of a JPEG.
 *
 * A decoder rounds luma and both chromas to whole steps, and the three once more on the way to red, green and blue. Where a
 * surface is smoother than a step, as chroma nearly always is, all of its pixels are rounded alike, and no mean over them brings it
 * back: up to 1.3 steps of blue, which in a dark colour is a visible difference. The file still holds each block's mean to
 * an eighth of a quantization step; this reads them (ITU-T T.81 baseline; colours by ITU-T T.871) and leaves the pixels as
 * they are. Blocks whose pixels scatter by more than a step lose nothing in the mean. The whole file is walked through,
 * where the blocks lie being told by nothing else; what they lost is worked out where somebody reads.
 *
 * Undefined for what is no baseline JPEG of Y, Cb and Cr, and for one that is cut short or broken, which is the decoder's to
 * say.
 */
export function decoderRounding(bytes: Uint8Array): Rounding | undefined {
  try {
    const frame = baselineFrame(bytes);
    return frame && readRounding(frame);
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

/** Pixels that scatter by .7 steps are rounded up and down alike. */
const LIVELY_CHROMA = 32;
/** Any scatter at all: luma is seldom even, and working its quiet blocks out too gained 3 % in colour for twice the time. */
const LIVELY_LUMA = 1;

/** Steps of an 8-bit value are told in 64ths. */
const UNIT = 64;

function readRounding(frame: Frame): Rounding {
  const { width_px, height_px, components, orientation } = frame;
  const [{ across, down }] = components;
  const unitsAcross = Math.ceil(width_px / (8 * across));
  const units = unitsAcross * Math.ceil(height_px / (8 * down));
  return {
    cell_px: 8,
    columns: unitsAcross * across,
    offsets: new Int8Array(3 * units * across * down).fill(UNKNOWN_OFFSET),
    unit: UNIT,
    toStored: storedPlaces(width_px, height_px, orientation),
    components,
    ...placesOfUnits(frame, units),
  };
}

const blocks = [freshBlock(), freshBlock(), freshBlock()] as const;
const lost = new Float64Array(4);
const chroma = new Float64Array(3);

/** Works the offsets of a cell out, and those of the others of its unit. */
export function workOut(
  { columns, offsets, components: [luma, cb, cr], bits, places }: Rounding,
  cell: number,
): void {
  const { across, down } = luma;
  const column = ((cell % columns) / across) | 0;
  const row = (cell / columns / down) | 0;
  goTo(places, (row * columns) / across + column, bits, blocks);
  for (let i = 0; i < across * down; i++) {
    readBlock(bits, luma, blocks[0], LIVELY_LUMA);
    lost[i] = lostInRounding(blocks[0]);
  }
  readBlock(bits, cb, blocks[1], LIVELY_CHROMA);
  readBlock(bits, cr, blocks[2], LIVELY_CHROMA);
  lostInChroma(blocks[1], blocks[2], chroma);
  for (let i = 0; i < across * down; i++) {
    const at = 3 * ((row * down + ((i / across) | 0)) * columns + column * across + (i % across));
    for (let c = 0; c < 3; c++) offsets[at + c] = Math.round(UNIT * (lost[i] + chroma[c]));
  }
}

/** A block's mean less the mean of its decoded pixels, steps. */
function lostInRounding({ kind, mean, decoded }: Block): number {
  if (kind === 'lively') return 0;
  if (kind === 'even') return mean - decoded[0];
  let sum = 0;
  for (let i = 0; i < 64; i++) sum += decoded[i];
  return mean - sum / 64;
}

/** The same of the chromas' part in red, green and blue, which decoders take from tables of whole numbers. */
function lostInChroma(cb: Block, cr: Block, into: Float64Array): void {
  const lostCb = lostInRounding(cb);
  const lostCr = lostInRounding(cr);
  into[0] = 1.402 * lostCr + tableRounding(cr, 1.402);
  into[1] = -0.344136 * lostCb - 0.714136 * lostCr + greenRounding(cb, cr);
  into[2] = 1.772 * lostCb + tableRounding(cb, 1.772);
}

function tableRounding({ kind, decoded }: Block, factor: number): number {
  if (kind === 'lively') return 0;
  const count = kind === 'even' ? 1 : 64;
  let sum = 0;
  for (let i = 0; i < count; i++) {
    const exact = factor * (decoded[i] - 128);
    sum += exact - Math.round(exact);
  }
  return sum / count;
}

function greenRounding(cb: Block, cr: Block): number {
  if (cb.kind === 'lively' || cr.kind === 'lively') return 0;
  const stepB = cb.kind === 'even' ? 0 : 1;
  const stepR = cr.kind === 'even' ? 0 : 1;
  const count = stepB + stepR === 0 ? 1 : 64;
  let sum = 0;
  for (let i = 0; i < count; i++) {
    const exact = -0.344136 * (cb.decoded[i * stepB] - 128) - 0.714136 * (cr.decoded[i * stepR] - 128);
    sum += exact - Math.round(exact);
  }
  return sum / count;
}
