/** The sensor's samples out of a DNG's raw directory: strips or tiles, plain or lossless JPEG. */
import { type Directory, isLittleEndian } from './directory.ts';
import { decodeLosslessJpeg } from './lossless-jpeg.ts';

export interface RawSamples {
  readonly width: number;
  readonly height: number;
  /** 1 for a colour filter array, 3 for linear RGB. */
  readonly channels: number;
  readonly values: Uint16Array;
}

const one = (d: Directory, tag: number, otherwise?: number): number => {
  const v = d.get(tag)?.[0] ?? otherwise;
  if (v === undefined) throw new RangeError(`it lacks the field ${tag}`);
  return v;
};

const PLAIN = 1;
const JPEG = 7;

/** Reads all samples. Throws RangeError for what is broken or not supported. */
export function rawSamples(bytes: Uint8Array, d: Directory): RawSamples {
  const width = one(d, 256);
  const height = one(d, 257);
  const channels = one(d, 277, 1);
  const compression = one(d, 259, PLAIN);
  if (compression !== PLAIN && compression !== JPEG)
    throw new RangeError(`its samples are compressed in a way that is not read here (${compression})`);
  const tiled = d.has(324);
  const across = tiled ? one(d, 322) : width;
  const down = tiled ? one(d, 323) : one(d, 278, height);
  const offsets = d.get(tiled ? 324 : 273) ?? [];
  const lengths = d.get(tiled ? 325 : 279) ?? [];
  const columns = Math.ceil(width / across);
  if (offsets.length < columns * Math.ceil(height / down)) throw new RangeError('parts of it are missing');
  const values = new Uint16Array(width * height * channels);
  offsets.forEach((offset, i) => {
    const left = (i % columns) * across;
    const top = Math.floor(i / columns) * down;
    if (top >= height) return;
    const rows = tiled ? down : Math.min(down, height - top);
    const part = bytes.subarray(offset, offset + (lengths[i] ?? 0));
    const samples =
      compression === JPEG
        ? jpegPart(part, across * channels, rows)
        : plainPart(part, across * channels, rows, one(d, 258, 16), isLittleEndian(bytes));
    const stride = across * channels;
    const kept = Math.min(across, width - left) * channels;
    for (let y = 0; y < Math.min(rows, height - top); y++)
      values.set(samples.subarray(y * stride, y * stride + kept), ((top + y) * width + left) * channels);
  });
  return { width, height, channels, values };
}

/** A CFA row is often written as a JPEG of two components and half the width: the order of samples is the same. */
function jpegPart(part: Uint8Array, stride: number, rows: number): Uint16Array {
  const { width, height, components, samples } = decodeLosslessJpeg(part);
  if (width * components * height < stride * rows) throw new RangeError('a part of it is too small');
  return samples;
}

/** Uncompressed samples of 8 to 16 bits; others than 8 and 16 are packed, most significant bit first. */
function plainPart(
  part: Uint8Array,
  stride: number,
  rows: number,
  bits: number,
  little: boolean,
): Uint16Array {
  if (bits < 8 || bits > 16) throw new RangeError(`its samples have ${bits} bits`);
  const out = new Uint16Array(stride * rows);
  const rowBytes = Math.ceil((stride * bits) / 8);
  if (part.length < rowBytes * rows) throw new RangeError('it is cut short');
  for (let y = 0; y < rows; y++) {
    const from = y * rowBytes;
    if (bits === 16)
      for (let i = 0; i < stride; i++) {
        const at = from + 2 * i;
        out[y * stride + i] = little ? part[at] | (part[at + 1] << 8) : (part[at] << 8) | part[at + 1];
      }
    else
      for (let i = 0, buffer = 0, held = 0, at = from; i < stride; i++) {
        while (held < bits) {
          buffer = ((buffer << 8) | part[at++]) & 0xffffff;
          held += 8;
        }
        held -= bits;
        out[y * stride + i] = (buffer >> held) & ((1 << bits) - 1);
      }
  }
  return out;
}
