/**
 * Writes DNG files for tests, by the Digital Negative specification 1.4 and TIFF 6.0: one raw directory of 16-bit or
 * packed 12-bit colour filter samples, or of linear RGB, plain or as lossless JPEG (ITU-T T.81, annex H, predictor 1).
 */

/** Linear light 0–1, interleaved RGB, in the camera's own channels with white balanced. */
export interface LightPicture {
  readonly width_px: number;
  readonly height_px: number;
  readonly light: (x: number, y: number, channel: number) => number;
}

export interface DngOptions {
  readonly layout?: 'cfa' | 'linear';
  readonly bits?: 12 | 16;
  readonly compression?: 'none' | 'lossless-jpeg';
  /** What the camera calls neutral: raw of a grey, green 1. */
  readonly neutral?: readonly [number, number, number];
  readonly black?: number;
  readonly white?: number;
  readonly orientation?: number;
  readonly bigEndian?: boolean;
}

const PATTERN = [0, 1, 1, 2];

export function dngFile(picture: LightPicture, options: DngOptions = {}): Uint8Array {
  const {
    layout = 'cfa',
    bits = 16,
    compression = 'none',
    neutral = [0.5, 1, 0.6],
    orientation = 1,
  } = options;
  const black = options.black ?? 256;
  const white = options.white ?? (bits === 12 ? 4095 : 16383);
  const { width_px: w, height_px: h } = picture;
  const channels = layout === 'cfa' ? 1 : 3;
  const samples = new Uint16Array(w * h * channels);
  for (let y = 0; y < h; y++)
    for (let x = 0; x < w; x++)
      for (let k = 0; k < channels; k++) {
        const c = layout === 'cfa' ? PATTERN[2 * (y & 1) + (x & 1)] : k;
        const raw = picture.light(x, y, c) * neutral[c];
        samples[(y * w + x) * channels + k] = Math.max(
          0,
          Math.min(white, Math.round(black + raw * (white - black))),
        );
      }
  const strip =
    compression === 'none'
      ? plainBytes(samples, w * channels, bits, options.bigEndian ?? false)
      : losslessJpeg(samples, w, h, channels);
  return assembled(
    strip,
    [
      [50706, 1, [1, 4, 0, 0]],
      [254, 4, [0]],
      [256, 4, [w]],
      [257, 4, [h]],
      [258, 3, new Array(channels).fill(compression === 'none' ? bits : 16)],
      [259, 3, [compression === 'none' ? 1 : 7]],
      [262, 3, [layout === 'cfa' ? 32803 : 34892]],
      [274, 3, [orientation]],
      [277, 3, [channels]],
      [278, 4, [h]],
      [279, 4, [strip.length]],
      ...(layout === 'cfa'
        ? ([
            [33421, 3, [2, 2]],
            [33422, 1, PATTERN],
          ] as const)
        : []),
      [50714, 3, new Array(channels).fill(black)],
      [50717, 3, new Array(channels).fill(white)],
      [50728, 5, [...neutral]],
    ],
    options.bigEndian ?? false,
  );
}

type Field = readonly [tag: number, type: number, values: readonly number[]];
const SIZES: Readonly<Record<number, number>> = { 1: 1, 3: 2, 4: 4, 5: 8 };

function assembled(strip: Uint8Array, fields: readonly Field[], bigEndian: boolean): Uint8Array {
  const little = !bigEndian;
  const all: Field[] = [...fields, [273, 4, [0]] as const];
  all.sort((a, b) => a[0] - b[0]);
  const directoryAt = 8;
  const spillAt = directoryAt + 2 + 12 * all.length + 4;
  const sizeOf = ([, type, values]: Field): number => SIZES[type] * values.length;
  const spill = all.reduce((s, f) => s + (sizeOf(f) > 4 ? sizeOf(f) + (sizeOf(f) & 1) : 0), 0);
  const stripAt = spillAt + spill;
  const out = new Uint8Array(stripAt + strip.length);
  const v = new DataView(out.buffer);
  out.set(bigEndian ? [0x4d, 0x4d] : [0x49, 0x49]);
  v.setUint16(2, 42, little);
  v.setUint32(4, directoryAt, little);
  v.setUint16(directoryAt, all.length, little);
  let free = spillAt;
  all.forEach((field, i) => {
    const [tag, type, written] = field;
    const values = tag === 273 ? [stripAt] : written;
    const entry = directoryAt + 2 + 12 * i;
    v.setUint16(entry, tag, little);
    v.setUint16(entry + 2, type, little);
    v.setUint32(entry + 4, values.length, little);
    let at = entry + 8;
    if (sizeOf(field) > 4) {
      v.setUint32(entry + 8, free, little);
      at = free;
      free += sizeOf(field) + (sizeOf(field) & 1);
    }
    values.forEach((value, k) => {
      if (type === 1) v.setUint8(at + k, value);
      else if (type === 3) v.setUint16(at + 2 * k, value, little);
      else if (type === 4) v.setUint32(at + 4 * k, value, little);
      else {
        v.setUint32(at + 8 * k, Math.round(value * 1e6), little);
        v.setUint32(at + 8 * k + 4, 1e6, little);
      }
    });
  });
  out.set(strip, stripAt);
  return out;
}

function plainBytes(samples: Uint16Array, stride: number, bits: number, bigEndian: boolean): Uint8Array {
  if (bits === 16) {
    const out = new Uint8Array(2 * samples.length);
    const v = new DataView(out.buffer);
    samples.forEach((s, i) => {
      v.setUint16(2 * i, s, !bigEndian);
    });
    return out;
  }
  const rowBytes = Math.ceil((stride * bits) / 8);
  const rows = samples.length / stride;
  const out = new Uint8Array(rowBytes * rows);
  for (let y = 0; y < rows; y++)
    for (let i = 0; i < stride; i++)
      for (let b = 0; b < bits; b++)
        if ((samples[y * stride + i] >> (bits - 1 - b)) & 1) {
          const position = i * bits + b;
          out[y * rowBytes + (position >> 3)] |= 0x80 >> (position & 7);
        }
  return out;
}

/** Every category 0–16 gets a code of five bits: no good compression, but a valid table. */
function losslessJpeg(samples: Uint16Array, w: number, h: number, channels: number): Uint8Array {
  const bytes: number[] = [0xff, 0xd8];
  const segment = (marker: number, body: readonly number[]): void => {
    const length = body.length + 2;
    bytes.push(0xff, marker, length >> 8, length & 255, ...body);
  };
  segment(0xc4, [
    0,
    0,
    0,
    0,
    0,
    17,
    0,
    0,
    0,
    0,
    0,
    0,
    0,
    0,
    0,
    0,
    0,
    ...Array.from({ length: 17 }, (_, i) => i),
  ]);
  const ids = Array.from({ length: channels }, (_, c) => c + 1);
  segment(0xc3, [16, h >> 8, h & 255, w >> 8, w & 255, channels, ...ids.flatMap((id) => [id, 0x11, 0])]);
  segment(0xda, [channels, ...ids.flatMap((id) => [id, 0]), 1, 0, 0]);
  let bit = 0;
  let byte = 0;
  const put = (value: number, count: number): void => {
    for (let b = count - 1; b >= 0; b--) {
      byte = (byte << 1) | ((value >> b) & 1);
      if (++bit === 8) {
        bytes.push(byte);
        if (byte === 0xff) bytes.push(0);
        bit = 0;
        byte = 0;
      }
    }
  };
  const stride = w * channels;
  for (let i = 0; i < samples.length; i++) {
    const column = i % stride;
    const before = column >= channels ? samples[i - channels] : i >= stride ? samples[i - stride] : 1 << 15;
    // differences are taken modulo 2¹⁶
    let d = (samples[i] - before) & 0xffff;
    if (d >= 0x8000) d -= 0x10000;
    const category = d === -0x8000 ? 16 : d === 0 ? 0 : 32 - Math.clz32(Math.abs(d));
    put(category, 5);
    if (category > 0 && category < 16) put(d > 0 ? d : d + (1 << category) - 1, category);
  }
  while (bit !== 0) put(1, 1);
  bytes.push(0xff, 0xd9);
  return Uint8Array.from(bytes);
}
