import { blockRounding } from './block-rounding.ts';
import { baselineFrame, type Frame } from './frame.ts';
import { storedPlaces } from './stored-places.ts';
import type { Rounding } from './types.ts';

/**
 * What a decoder's rounding to 8 bit took off the colours of a JPEG.
 *
 * A decoder rounds luma and both chromas to whole steps, and the three once more on the way to red, green and blue. Where a
 * surface is smoother than a step, as chroma nearly always is, all of its pixels are rounded alike, and no mean over them brings it
 * back: up to 1.3 steps of blue, which in a dark colour is a visible difference. The file still holds each block's mean to
 * an eighth of a quantization step; this reads them (ITU-T T.81 baseline; colours by ITU-T T.871) and leaves the pixels as
 * they are. Blocks whose pixels scatter by more than a step lose nothing in the mean. The whole file is walked through,
 * where the blocks lie being told by nothing else.
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

function readRounding(frame: Frame): Rounding | undefined {
  const { width_px, height_px, components, orientation } = frame;
  const [{ across, down }] = components;
  const unitsAcross = Math.ceil(width_px / (8 * across));
  const offsets = blockRounding(frame, unitsAcross, Math.ceil(height_px / (8 * down)));
  return (
    offsets && {
      columns: unitsAcross * across,
      offsets,
      toStored: storedPlaces(width_px, height_px, orientation),
    }
  );
}
