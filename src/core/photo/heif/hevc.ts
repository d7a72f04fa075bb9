/** HEVC pictures through `compiled/hevc/hevc.wasm`, which whoever reads the file brings along. */
import type { CodedTile } from './grid.ts';
import { dataOf } from './items.ts';
import { chromaFactors, type DecodedTile, decodedAt } from './rgb.ts';
import { lengthSizeOf, unitsOfConfig, unitsOfData } from './units.ts';

/** What `compiled/hevc/picture.cc` exports; the same names tell more there. */
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

/** Coded pictures are filled up to whole blocks, of at most so many pixels. */
const BLOCK_PX = 64;

/**
 * Decodes one tile. Throws RangeError where it is broken or of another size, and where it is none of the usual: 8 bit,
 * 4:2:0, full range, a matrix that `chromaFactors` knows, told alike by the picture and its container.
 */
export function decodeTile(
  hevc: HevcParts,
  bytes: Uint8Array,
  tile: CodedTile,
  width_px: number,
  height_px: number,
): DecodedTile {
  const config = bytes.subarray(tile.config.from, tile.config.to);
  const units = [...unitsOfConfig(config), ...unitsOfData(dataOf(bytes, tile.data), lengthSizeOf(config))];
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
  if (hevc.hevc_is_plain() !== 1) throw new RangeError('an unusual kind of HEVC');
  const pixels = hevc.hevc_rgb(...chromaFactors(bytes, tile, hevc.hevc_matrix()));
  return decodedAt(hevc, pixels, width_px, height_px, hevc.hevc_rgb_stride());
}
