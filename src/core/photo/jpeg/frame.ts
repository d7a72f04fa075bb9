import { exifOrientation } from '../exif.ts';
import { type HuffmanLookup, readHuffmanTables } from '../huffman.ts';
import { pictureHeader } from '../picture-header.ts';

export interface Component {
  /** Blocks across and down in one unit of the scan. */
  readonly across: number;
  readonly down: number;
  /** Quantization steps in zigzag order. */
  readonly steps: Uint16Array;
  readonly dc: HuffmanLookup;
  readonly ac: HuffmanLookup;
}

/** A baseline JPEG of Y, Cb and Cr (ITU-T T.81; the colours as in ITU-T T.871) as its header tells it. */
export interface Frame {
  readonly width_px: number;
  readonly height_px: number;
  readonly components: readonly [Component, Component, Component];
  /** Units between restart markers; 0 without. */
  readonly restartInterval: number;
  /** EXIF orientation, 1–8. */
  readonly orientation: number;
  /** The scan's entropy-coded data, to the file's end. */
  readonly scan: Uint8Array;
}

/** Undefined for what is no 8-bit baseline JPEG of Y, Cb and Cr in one scan. Throws RangeError where the header is broken. */
export function baselineFrame(bytes: Uint8Array): Frame | undefined {
  const huffman = new Map<number, HuffmanLookup>();
  const steps = new Map<number, Uint16Array>();
  let frame: Uint8Array | undefined;
  let restartInterval = 0;
  if (bytes[0] !== 0xff || bytes[1] !== 0xd8) return undefined;
  for (let at = 2; at + 4 <= bytes.length; ) {
    if (bytes[at] !== 0xff) return undefined;
    const marker = bytes[at + 1];
    if (marker === 0xff) {
      at++;
      continue;
    }
    const length = (bytes[at + 2] << 8) | bytes[at + 3];
    const body = bytes.subarray(at + 4, at + 2 + length);
    at += 2 + length;
    if (marker === 0xda) {
      const { exif } = pictureHeader(bytes);
      const orientation = exif ? exifOrientation(exif) : 1;
      return (
        frame && assembled(frame, body, bytes.subarray(at), { huffman, steps, restartInterval, orientation })
      );
    }
    if (marker === 0xc4) readHuffmanTables(body, huffman);
    else if (marker === 0xdb) readSteps(body, steps);
    else if (marker === 0xc0 || marker === 0xc1) frame = body;
    else if (marker === 0xdd) restartInterval = (body[0] << 8) | body[1];
    else if (marker === 0xee && body[0] === 0x41 && body[11] === 0)
      return undefined; // Adobe: red, green and blue
    else if (marker >= 0xc2 && marker <= 0xcf && marker !== 0xc8 && marker !== 0xcc) return undefined;
  }
  return undefined;
}

/** One DQT segment (T.81, B.2.4.1) into `steps` by destination. */
function readSteps(body: Uint8Array, steps: Map<number, Uint16Array>): void {
  for (let at = 0; at < body.length; ) {
    const wide = body[at] >> 4 !== 0;
    const table = new Uint16Array(64);
    const from = at + 1;
    for (let k = 0; k < 64; k++)
      table[k] = wide ? (body[from + 2 * k] << 8) | body[from + 2 * k + 1] : body[from + k];
    steps.set(body[at] & 15, table);
    at = from + (wide ? 128 : 64);
  }
}

interface Tables {
  readonly huffman: ReadonlyMap<number, HuffmanLookup>;
  readonly steps: ReadonlyMap<number, Uint16Array>;
  readonly restartInterval: number;
  readonly orientation: number;
}

function assembled(
  frame: Uint8Array,
  scanHeader: Uint8Array,
  scan: Uint8Array,
  { huffman, steps, restartInterval, orientation }: Tables,
): Frame | undefined {
  if (frame[0] !== 8 || frame[5] !== 3 || scanHeader[0] !== 3) return undefined;
  const components: Component[] = [];
  for (let c = 0; c < 3; c++) {
    const own = frame.subarray(6 + 3 * c, 9 + 3 * c);
    if (scanHeader[1 + 2 * c] !== own[0]) return undefined;
    const selectors = scanHeader[2 + 2 * c];
    const table = steps.get(own[2]);
    const dc = huffman.get(selectors >> 4);
    const ac = huffman.get(16 + (selectors & 15));
    if (!table || !dc || !ac) return undefined;
    components.push({ across: own[1] >> 4, down: own[1] & 15, steps: table, dc, ac });
  }
  const [y, cb, cr] = components;
  // chroma in full, or halved along one side or both
  const known = y.across <= 2 && y.down <= 2 && cb.across * cb.down * cr.across * cr.down === 1;
  const height_px = (frame[1] << 8) | frame[2];
  const width_px = (frame[3] << 8) | frame[4];
  if (!known || y.across * y.down * width_px * height_px === 0) return undefined;
  return { width_px, height_px, components: [y, cb, cr], restartInterval, orientation, scan };
}
