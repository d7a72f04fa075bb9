import { type Bits, restart, scanBits, signedValue } from './bits.ts';
import type { Block } from './block.ts';
import type { Component, Frame } from './frame.ts';
import type { UnitPlaces } from './types.ts';

/** Walks through a scan of that many units. Throws RangeError when its data are broken or cut short. */
export function placesOfUnits(
  { components: [luma, cb, cr], restartInterval, scan }: Frame,
  units: number,
): { readonly bits: Bits; readonly places: UnitPlaces } {
  const bits = scanBits(scan);
  const starts = new Uint32Array(units);
  const dcs = new Int32Array(3 * units);
  const lumaBlocks = luma.across * luma.down;
  let [dcY, dcB, dcR] = [0, 0, 0];
  for (let unit = 0; unit < units; unit++) {
    if (restartInterval > 0 && unit > 0 && unit % restartInterval === 0) {
      restart(bits, unit / restartInterval - 1);
      dcY = dcB = dcR = 0;
    }
    starts[unit] = 8 * bits.at - bits.held;
    dcs[3 * unit] = dcY;
    dcs[3 * unit + 1] = dcB;
    dcs[3 * unit + 2] = dcR;
    for (let i = 0; i < lumaBlocks; i++) dcY += passBlock(bits, luma);
    dcB += passBlock(bits, cb);
    dcR += passBlock(bits, cr);
    if (bits.at - (bits.held >> 3) > bits.end) throw new RangeError('its JPEG data are cut short');
  }
  return { bits, places: { starts, dcs } };
}

/** Goes to a unit: `blocks` are those of its three components. */
export function goTo(
  { starts, dcs }: UnitPlaces,
  unit: number,
  bits: Bits,
  blocks: readonly [Block, Block, Block],
): void {
  bits.at = starts[unit] >>> 3;
  bits.held = 0;
  bits.buffer = 0;
  const spent = starts[unit] & 7;
  if (spent > 0) {
    bits.buffer = bits.data[bits.at++];
    bits.held = 8 - spent;
  }
  for (let c = 0; c < 3; c++) blocks[c].dc = dcs[3 * unit + c];
}

/**
 * Passes over a block and gives the difference of its DC value. Throws RangeError when the data are broken.
 *
 * Millions of codes pass here while a photo is being decoded, so the reader's state is kept in local variables.
 */
function passBlock(bits: Bits, { dc, ac }: Component): number {
  const { data } = bits;
  let { at, buffer, held } = bits;
  if (held <= 16) {
    buffer = (buffer << 16) | (data[at] << 8) | data[at + 1];
    at += 2;
    held += 16;
  }
  const code = dc[(buffer >>> (held - 16)) & 0xffff];
  const places = code & 0xff;
  if (code === 0 || places > 16) throw new RangeError('its JPEG data are broken');
  held -= code >> 8;
  if (held < places) {
    buffer = (buffer << 16) | (data[at] << 8) | data[at + 1];
    at += 2;
    held += 16;
  }
  held -= places;
  const difference = signedValue(buffer >>> held, places);
  for (let k = 1; k < 64; k++) {
    if (held <= 16) {
      buffer = (buffer << 16) | (data[at] << 8) | data[at + 1];
      at += 2;
      held += 16;
    }
    const entry = ac[(buffer >>> (held - 16)) & 0xffff];
    held -= entry >> 8;
    const size = entry & 15;
    if (size === 0) {
      if (entry === 0) throw new RangeError('its JPEG data are broken');
      if ((entry & 0xf0) !== 0xf0) break;
      k += 15;
      continue;
    }
    k += (entry >> 4) & 15;
    if (k > 63) throw new RangeError('its JPEG data are broken');
    if (held < size) {
      buffer = (buffer << 16) | (data[at] << 8) | data[at + 1];
      at += 2;
      held += 16;
    }
    held -= size;
  }
  bits.at = at;
  bits.buffer = buffer;
  bits.held = held;
  return difference;
}
