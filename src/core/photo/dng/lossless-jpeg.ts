/** Lossless JPEG (ITU-T T.81, process 14, annex H): how most DNG files hold their samples. */
import { type HuffmanLookup, readHuffmanTables } from '../huffman.ts';

export interface LosslessPicture {
  readonly width: number;
  readonly height: number;
  readonly components: number;
  /** Samples row by row, components interleaved. */
  readonly samples: Uint16Array;
}

interface Frame {
  readonly precision: number;
  readonly width: number;
  readonly height: number;
  readonly ids: readonly number[];
}

const broken = (): RangeError => new RangeError('its lossless JPEG data are broken');

/** Decodes one lossless JPEG stream. Throws RangeError when it is broken or of another process. */
export function decodeLosslessJpeg(bytes: Uint8Array): LosslessPicture {
  const tables = new Map<number, HuffmanLookup>();
  let frame: Frame | undefined;
  let restart = 0;
  let at = 2;
  for (;;) {
    if (at + 4 > bytes.length || bytes[at] !== 0xff) throw broken();
    const marker = bytes[at + 1];
    const length = (bytes[at + 2] << 8) | bytes[at + 3];
    const body = bytes.subarray(at + 4, at + 2 + length);
    if (marker === 0xc4) readHuffmanTables(body, tables);
    else if (marker === 0xc3) frame = readFrame(body);
    else if (marker === 0xdd) restart = (body[0] << 8) | body[1];
    else if (marker >= 0xc0 && marker <= 0xcf && marker !== 0xc8 && marker !== 0xcc)
      throw new RangeError('its JPEG data are not lossless');
    else if (marker === 0xda) {
      if (!frame) throw broken();
      return decodeScan(bytes.subarray(at + 2 + length), body, frame, tables, restart);
    }
    at += 2 + length;
  }
}

function readFrame(body: Uint8Array): Frame {
  const components = body[5];
  const frame = {
    precision: body[0],
    height: (body[1] << 8) | body[2],
    width: (body[3] << 8) | body[4],
    ids: Array.from({ length: components }, (_, c) => body[6 + 3 * c]),
  };
  if (components < 1 || components > 4 || frame.width * frame.height === 0 || frame.precision < 2)
    throw broken();
  return frame;
}

function decodeScan(
  data: Uint8Array,
  header: Uint8Array,
  frame: Frame,
  tables: ReadonlyMap<number, HuffmanLookup>,
  restart: number,
): LosslessPicture {
  const components = frame.ids.length;
  if (header[0] !== components) throw new RangeError('its lossless JPEG data are split in scans');
  const lookups = frame.ids.map((id) => {
    for (let c = 0; c < components; c++)
      if (header[1 + 2 * c] === id) {
        const table = tables.get(header[2 + 2 * c] >> 4);
        if (table) return table;
      }
    throw broken();
  });
  const predictor = header[1 + 2 * components];
  const shift = header[3 + 2 * components] & 15;
  const { width, height, precision } = frame;
  const samples = new Uint16Array(width * height * components);
  const bits = bitReader(data);
  const stride = width * components;
  const first = 1 << (precision - shift - 1);
  for (let y = 0, fresh = true; y < height; y++) {
    if (restart > 0 && y > 0 && (y * width) % restart === 0) {
      bits.restart();
      fresh = true;
    }
    for (let i = 0, row = y * stride; i < stride; i++) {
      const c = i % components;
      const here = row + i;
      let prediction: number;
      if (fresh) prediction = i < components ? first : samples[here - components];
      else if (i < components) prediction = samples[here - stride];
      else prediction = predict(predictor, samples, here, components, stride);
      samples[here] = prediction + difference(bits, lookups[c]);
    }
    fresh = false;
  }
  if (shift > 0) for (let i = 0; i < samples.length; i++) samples[i] <<= shift;
  return { width, height, components, samples };
}

function predict(predictor: number, s: Uint16Array, at: number, left: number, up: number): number {
  const a = s[at - left];
  const b = s[at - up];
  const c = s[at - up - left];
  switch (predictor) {
    case 1:
      return a;
    case 2:
      return b;
    case 3:
      return c;
    case 4:
      return a + b - c;
    case 5:
      return a + ((b - c) >> 1);
    case 6:
      return b + ((a - c) >> 1);
    case 7:
      return (a + b) >> 1;
    default:
      throw broken();
  }
}

interface BitReader {
  peek16(): number;
  skip(count: number): void;
  take(count: number): number;
  restart(): void;
}

function bitReader(data: Uint8Array): BitReader {
  let at = 0;
  let buffer = 0;
  let held = 0;
  const fill = (): void => {
    while (held <= 16) {
      let byte = at < data.length ? data[at] : 0;
      if (byte === 0xff && data[at + 1] !== 0) byte = 0;
      else at += byte === 0xff ? 2 : 1;
      // a stream cut short reads as zeros; a long run of them means that it ended
      if (at > data.length + 64) throw broken();
      if (at >= data.length) at++;
      buffer = ((buffer << 8) | byte) >>> 0;
      held += 8;
    }
  };
  const peek = (count: number): number => (buffer >>> (held - count)) & ((1 << count) - 1);
  return {
    peek16() {
      fill();
      return peek(16);
    },
    skip(count) {
      held -= count;
      buffer &= 2 ** held - 1;
    },
    take(count) {
      fill();
      const v = peek(count);
      held -= count;
      buffer &= 2 ** held - 1;
      return v;
    },
    restart() {
      held = 0;
      buffer = 0;
      while (at + 1 < data.length && !(data[at] === 0xff && data[at + 1] >= 0xd0 && data[at + 1] <= 0xd7))
        at++;
      at += 2;
    },
  };
}

function difference(bits: BitReader, lookup: HuffmanLookup): number {
  const code = lookup[bits.peek16()];
  if (code === 0) throw broken();
  bits.skip(code >> 8);
  const category = code & 255;
  if (category === 0) return 0;
  if (category >= 16) return 32768;
  const v = bits.take(category);
  return v < 1 << (category - 1) ? v - (1 << category) + 1 : v;
}
