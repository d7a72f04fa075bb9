/** Planes that another decoder made, to RGB by `compiled/hevc/planes.wasm`, which whoever reads the file brings along. */
import { type ChromaFactors, type DecodedTile, decodedAt } from './rgb.ts';

/** What `compiled/hevc/planes.cc` exports; the same names tell more there. */
export interface PlanesParts {
  readonly memory: { readonly buffer: ArrayBufferLike };
  _initialize(): void;
  planes_begin(width: number, height: number): number;
  planes_rgb(r_cr: number, g_cb: number, g_cr: number, b_cb: number): number;
  planes_rgb_stride(): number;
}

/** A converter with memory of its own. Throws where this machine cannot run it. */
export function startPlanes(module: WebAssembly.Module): PlanesParts {
  const imports = { env: { emscripten_notify_memory_growth: (): void => {} } };
  const planes = new WebAssembly.Instance(module, imports).exports as unknown as PlanesParts;
  planes._initialize();
  return planes;
}

/** Bytes of a picture's planes, 8 bit, 4:2:0, rows without gaps. */
export function sizeOfPlanes(width_px: number, height_px: number): number {
  return width_px * height_px + 2 * Math.ceil(width_px / 2) * Math.ceil(height_px / 2);
}

/** Where the planes of a picture belong: luma, blue and red chroma. Throws RangeError without memory for them. */
export function roomForPlanes(planes: PlanesParts, width_px: number, height_px: number): Uint8Array {
  const at = planes.planes_begin(width_px, height_px);
  if (at === 0) throw new RangeError('no memory');
  return new Uint8Array(planes.memory.buffer, at, sizeOfPlanes(width_px, height_px));
}

/** The picture whose planes were put where `roomForPlanes` said. Throws RangeError without memory. */
export function rgbOfPlanes(
  planes: PlanesParts,
  width_px: number,
  height_px: number,
  factors: ChromaFactors,
): DecodedTile {
  const at = planes.planes_rgb(...factors);
  return decodedAt(planes, at, width_px, height_px, planes.planes_rgb_stride());
}
