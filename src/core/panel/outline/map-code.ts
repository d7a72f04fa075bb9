import { WASM } from '../../../../compiled/panel-maps/wasm.ts';
import { memoryFrom, startCompiled } from '../../compiled.ts';
import type { Raster } from '../../photo/types.ts';
import type { PanelMaps } from './maps.ts';

/** What `compiled/panel-maps/index.ts` exports; the same names tell more there. */
interface MapCode {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  pictureRow(
    rows: number,
    stride: number,
    isWide: number,
    columns: number,
    width: number,
    curves: number,
    levels: number,
    encode: number,
    per: number,
    planes: number,
    size: number,
  ): void;
  useMaps(planes: number, across: number, down: number): void;
  insideShare(perspective: number): number;
  sideShare(ax: number, ay: number, bx: number, by: number): number;
  lineProfile(perspective: number, alongU: number, profile: number): void;
  ridgeBytes(): number;
  /** 1 for true. */
  findRidge(
    ax: number,
    ay: number,
    bx: number,
    by: number,
    farthest: number,
    out: number,
    work: number,
  ): number;
  prepareParts(barred: number, bare: number, inner: number, open: number, stack: number, gone: number): void;
  findComponents(
    among: number,
    count: number,
    least: number,
    worn: number,
    fewest: number,
    sizes: number,
  ): number;
  components(): number;
  growBack(sets: number, sizes: number, owners: number, rings: number, owner: number): void;
  pixelsByOwner(owner: number, owners: number, sizes: number): void;
}

let code: MapCode | undefined;

function started(): MapCode {
  code ??= startCompiled<MapCode>(WASM);
  return code;
}

/** How a photo is read for a picture: `perPixel` rows and columns a pixel of it, in order. */
export interface PictureReading {
  readonly width: number;
  readonly height: number;
  readonly perPixel: number;
  /** Places of red in a row. */
  readonly columns: Int32Array;
  readonly rows: Int32Array;
  /** Encoded values of linear light 0–1, in even steps. */
  readonly encode: Float32Array;
}

/** The picture's three planes: means of linear light, encoded anew. */
export function readPicture(
  { data, width_px, profile }: Raster,
  { width, height, perPixel, columns, rows, encode }: PictureReading,
): Float32Array {
  const tools = started();
  held = undefined;
  const { place, grow } = memoryFrom(tools.firstFree());
  const stride = 3 * width_px;
  const bytes = data.BYTES_PER_ELEMENT;
  const [red] = profile.decode;
  const size = width * height;
  const at = {
    rows: place(perPixel * stride * bytes),
    columns: place(columns.byteLength),
    curves: place(3 * red.byteLength),
    encode: place(encode.byteLength),
    planes: place(12 * size),
  };
  const buffer = grow(tools.memory);
  const read = bytes === 1 ? new Uint8Array(buffer, at.rows) : new Uint16Array(buffer, at.rows);
  new Int32Array(buffer, at.columns, columns.length).set(columns);
  new Float32Array(buffer, at.encode, encode.length).set(encode);
  profile.decode.forEach((curve, c) => {
    new Float32Array(buffer, at.curves + c * red.byteLength, red.length).set(curve);
  });
  const per = (encode.length - 1) / perPixel ** 2;
  for (let y = 0; y < height; y++) {
    for (let j = 0; j < perPixel; j++) {
      const from = stride * rows[perPixel * y + j];
      read.set(data.subarray(from, from + stride), j * stride);
    }
    const to = at.planes + 4 * width * y;
    const wide = bytes - 1;
    tools.pictureRow(
      at.rows,
      stride,
      wide,
      at.columns,
      width,
      at.curves,
      red.length,
      at.encode,
      per,
      to,
      size,
    );
  }
  return new Float32Array(buffer, at.planes, 3 * size).slice();
}

/** The planes that stand in the memory, and the first place behind them. */
let held: { readonly planes: WeakRef<Float32Array>; readonly behind: number } | undefined;

function hold({ planes, width, height }: PanelMaps): number {
  const tools = started();
  const { place, grow } = memoryFrom(tools.firstFree());
  const at = place(planes.byteLength);
  const behind = place(0);
  new Float32Array(grow(tools.memory), at, planes.length).set(planes);
  tools.useMaps(at, width, height);
  held = { planes: new WeakRef(planes), behind };
  return behind;
}

/** Runs a loop on the maps, with the bytes that it works with. */
export function onMaps<T>(
  maps: PanelMaps,
  workBytes: (code: MapCode) => number,
  run: (code: MapCode, work: number) => T,
): T {
  const tools = started();
  const { place, grow } = memoryFrom(held?.planes.deref() === maps.planes ? held.behind : hold(maps));
  const work = place(workBytes(tools));
  grow(tools.memory);
  return run(tools, work);
}

/** Maps of a photo in the memory of the loops that part them. One photo at a time. */
export interface PartedMaps {
  /**
   * Connected sets of at least `fewest` pixels among some (all where none are named) that are surely enough a panel and no edge,
   * after so many rings of them have been worn off.
   */
  readonly components: (
    among: Int32Array | undefined,
    least: number,
    worn: number,
    fewest: number,
  ) => Int32Array[];
  /** The sets with what is panel about them, so many rings of it at most. */
  readonly grownBack: (sets: readonly Int32Array[], rings: number) => Int32Array[];
}

/** @param barred 1 for pixels that are no panel's */
export function partMaps(maps: PanelMaps, barred: Uint8Array | undefined): PartedMaps {
  const tools = started();
  const size = maps.width * maps.height;
  const { place, grow } = memoryFrom(hold(maps));
  const at = {
    barred: place(size),
    bare: place(4 * size),
    inner: place(4 * size),
    open: place(size),
    stack: place(4 * size),
    gone: place(4 * size),
    among: place(4 * size),
    sizes: place(4 * size),
    owner: place(2 * size),
  };
  const buffer = grow(tools.memory);
  const bars = new Uint8Array(buffer, at.barred, size);
  if (barred) bars.set(barred);
  else bars.fill(0);
  const { bare, inner, open, stack, gone } = at;
  tools.prepareParts(at.barred, bare, inner, open, stack, gone);

  const listed = new Int32Array(buffer, at.among, size);
  const sizes = new Int32Array(buffer, at.sizes, size);
  /** Lists of these sizes, one behind the other. */
  const listsFrom = (from: number, count: number): Int32Array[] => {
    const lists: Int32Array[] = [];
    let first = from;
    for (let i = 0; i < count; i++) {
      lists.push(new Int32Array(buffer, first, sizes[i]).slice());
      first += 4 * sizes[i];
    }
    return lists;
  };
  return {
    components(among, least, worn, fewest) {
      if (among) listed.set(among);
      else for (let i = 0; i < size; i++) listed[i] = i;
      const count = tools.findComponents(at.among, among?.length ?? size, least, worn, fewest, at.sizes);
      return listsFrom(tools.components(), count);
    },
    grownBack(sets, rings) {
      let to = 0;
      sets.forEach((set, i) => {
        listed.set(set, to);
        sizes[i] = set.length;
        to += set.length;
      });
      tools.growBack(at.among, at.sizes, sets.length, rings, at.owner);
      tools.pixelsByOwner(at.owner, sets.length, at.sizes);
      return listsFrom(stack, sets.length);
    },
  };
}
