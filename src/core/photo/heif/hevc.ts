/** HEVC pictures through `decoders/hevc/hevc.wasm`, which whoever reads the file brings along. */
import type { CodedTile } from './grid.ts';
import { dataOf } from './items.ts';

/** What `decoders/hevc/picture.cc` exports; the same names tell more there. */
export interface HevcParts {
  readonly memory: { readonly buffer: ArrayBufferLike };
  _initialize(): void;
  hevc_begin(size: number, most_px: number): number;
  hevc_push(at: number, size: number): number;
  hevc_decode(): number;
  hevc_width(): number;
  hevc_height(): number;
  hevc_matrix(): number;
  hevc_is_plain(): number;
  hevc_rgb(r_cr: number, g_cb: number, g_cr: number, b_cb: number): number;
  hevc_rgb_stride(): number;
  hevc_small(factor: number): number;
}

/** What the module asks for: it may write nowhere and ends nothing. */
const HEVC_IMPORTS = {
  env: { emscripten_notify_memory_growth: (): void => {} },
  wasi_snapshot_preview1: {
    fd_close: (): number => 0,
    fd_seek: (): number => 0,
    fd_write: (): number => 0,
    proc_exit: (): never => {
      throw new RangeError('the decoder gave up');
    },
  },
};

/** A decoder with memory of its own. Throws where this machine cannot run it. */
export function startHevc(module: WebAssembly.Module): HevcParts {
  const hevc = new WebAssembly.Instance(module, HEVC_IMPORTS).exports as unknown as HevcParts;
  hevc._initialize();
  return hevc;
}

/** Interleaved RGB, 8 bit, in the decoder's memory: there until the next picture begins. */
export interface DecodedTile {
  readonly width_px: number;
  readonly height_px: number;
  readonly data: Uint8Array;
  /** Bytes from row to row. */
  readonly stride: number;
}

/** Kr and Kb of the matrices that photos come with, by their codes (ITU-T H.273, table 4: BT.709, BT.601 twice). */
const LUMA_WEIGHTS: Readonly<Record<number, readonly [red: number, blue: number]>> = {
  1: [0.2126, 0.0722],
  5: [0.299, 0.114],
  6: [0.299, 0.114],
};

/** Coded pictures are filled up to whole blocks, of at most so many pixels. */
const BLOCK_PX = 64;

/**
 * Decodes one tile. Throws RangeError where it is broken or of another size, and where it is none of the usual: 8 bit,
 * 4:2:0, full range, one of the matrices above, told alike by the picture and its container.
 */
export function decodeTile(
  hevc: HevcParts,
  bytes: Uint8Array,
  tile: CodedTile,
  width_px: number,
  height_px: number,
): DecodedTile {
  const units = [...unitsOfConfig(bytes.subarray(tile.config.from, tile.config.to))];
  const lengthSize = (bytes[tile.config.from + 21] & 3) + 1;
  units.push(...unitsOfData(dataOf(bytes, tile.data), lengthSize));
  const size = units.reduce((sum, unit) => sum + unit.length, 0);
  let at = hevc.hevc_begin(size, (width_px + BLOCK_PX) * (height_px + BLOCK_PX));
  if (at === 0) throw new RangeError('no memory');
  for (const unit of units) {
    new Uint8Array(hevc.memory.buffer).set(unit, at);
    if (hevc.hevc_push(at, unit.length) !== 0) throw new RangeError('not HEVC');
    at += unit.length;
  }
  if (hevc.hevc_decode() !== 0) throw new RangeError('broken HEVC');
  if (hevc.hevc_width() !== width_px || hevc.hevc_height() !== height_px)
    throw new RangeError('another size');
  const matrix = hevc.hevc_matrix();
  const weights = LUMA_WEIGHTS[matrix];
  if (!weights || hevc.hevc_is_plain() !== 1 || !agrees(bytes, tile, matrix))
    throw new RangeError('an unusual kind of HEVC');
  const pixels = hevc.hevc_rgb(...factorsOf(weights));
  if (pixels === 0) throw new RangeError('no memory');
  const stride = hevc.hevc_rgb_stride();
  const data = new Uint8Array(hevc.memory.buffer, pixels, stride * height_px);
  return { width_px, height_px, data, stride };
}

/** Means over squares of `factor` (a power of 2) pixels of the tile decoded last; whole squares, rows without gaps. */
export function smallTile(hevc: HevcParts, tile: DecodedTile, factor: number): DecodedTile {
  const [width, height] = [Math.floor(tile.width_px / factor), Math.floor(tile.height_px / factor)];
  const pixels = hevc.hevc_small(factor);
  if (pixels === 0) throw new RangeError('no memory');
  const data = new Uint8Array(hevc.memory.buffer, pixels, 3 * width * height);
  return { width_px: width, height_px: height, data, stride: 3 * width };
}

/** Factors from chroma to RGB in 1/256, in the order that `hevc_rgb` takes them (ITU-T H.273, 8.3). */
function factorsOf([red, blue]: readonly [number, number]): [number, number, number, number] {
  const green = 1 - red - blue;
  const factors = [
    2 * (1 - red),
    (-2 * blue * (1 - blue)) / green,
    (-2 * red * (1 - red)) / green,
    2 * (1 - blue),
  ];
  return factors.map((f) => Math.round(256 * f)) as [number, number, number, number];
}

/** Whether the container's codes, where there are any, say what the picture says. */
function agrees(bytes: Uint8Array, { nclx }: CodedTile, matrix: number): boolean {
  if (!nclx) return true;
  const [high, low, range] = bytes.subarray(nclx.from + 8, nclx.to);
  return 256 * high + low === matrix && range >> 7 === 1;
}

/** The parameter sets in a decoder configuration (ISO/IEC 14496-15, 8.3.3.1). */
function* unitsOfConfig(config: Uint8Array): Generator<Uint8Array> {
  const v = new DataView(config.buffer, config.byteOffset, config.byteLength);
  let at = 23;
  for (let arrays = v.getUint8(22); arrays > 0; arrays--) {
    const count = v.getUint16(at + 1);
    at += 3;
    for (let i = 0; i < count; i++) {
      const size = v.getUint16(at);
      yield unitIn(config, at + 2, size);
      at += 2 + size;
    }
  }
}

/** The units of a coded picture, each with its length before it. */
function* unitsOfData(data: Uint8Array, lengthSize: number): Generator<Uint8Array> {
  for (let at = 0; at + lengthSize <= data.length; ) {
    const size = data.subarray(at, at + lengthSize).reduce((sum, byte) => 256 * sum + byte, 0);
    yield unitIn(data, at + lengthSize, size);
    at += lengthSize + size;
  }
}

function unitIn(data: Uint8Array, from: number, size: number): Uint8Array {
  if (from + size > data.length) throw new RangeError('cut short');
  return data.subarray(from, from + size);
}
