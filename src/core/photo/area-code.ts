import { WASM } from '../../../compiled/area-pixels/wasm.ts';
import { memoryFrom, startCompiled } from '../compiled.ts';
import type { CompiledMemory } from '../compiled-memory.ts';

/** What `compiled/area-pixels/index.ts` exports; the same names tell more there. */
interface AreaCode {
  readonly memory: CompiledMemory;
  firstFree(): number;
  use(table: number, pixels: number): void;
  findSpans(stride: number, width_px: number, height_px: number): number;
  visit(spanCount: number, stride: number, bytes: number, levels: number, columns: number): number;
  keepCovered(count: number, edges: number): number;
  addTiles(count: number, side: number): void;
  evenFallOff(tiles: number, tileCount: number, workspace: number, within: number, out: number): number;
  fallOffBytes(): number;
  fitFallOff(out: number): void;
  addTileSquares(count: number, channel: number, tileCount: number, means: number): void;
  markTiles(count: number, verdicts: number): void;
  undoFallOff(count: number, alongU: number, alongV: number): void;
  quartilesOf(count: number, channel: number, binCount: number, width: number): void;
  markSpecks(count: number, sparkle: number): void;
  countKinds(count: number): void;
  addSums(
    count: number,
    any: number,
    skips: number,
    left: number,
    top: number,
    columns: number,
    rows: number,
    shift: number,
  ): void;
  variances(
    left: number,
    top: number,
    columns: number,
    rows: number,
    scales: number,
    fewest: number,
    fitted: number,
  ): void;
  addCells(count: number, any: number, skips: number, side: number): void;
}

/** How much an area needs room for. */
export interface AreaNeeds {
  readonly pixels: number;
  readonly spans: number;
  /** Bytes of the spans' encoded values. */
  readonly codes: number;
  /** Encoded values there are: 256 or 65536. */
  readonly levels: number;
  /** Numbers of a decoder's rounding. */
  readonly offsets: number;
  /** Blocks of all scales together. */
  readonly blocks: number;
}

/** Tiles along a side at most, cells along one, and bins of a channel's levels. */
export const MOST_TILES = 14;
export const CELLS = 4;
export const BINS = 1600;

/** The compiled loops with the memory they work on, seen as arrays. One area at a time: reading dozens of them would
 * otherwise be mostly memory traffic. */
export interface AreaWorkspace {
  readonly room: AreaNeeds;
  readonly code: AreaCode;
  readonly spans: Uint32Array;
  readonly codes: Uint8Array;
  /** Corners of the quadrilateral, then nine numbers from photo to area. */
  readonly matrix: Float64Array;
  /** Three channels, one behind the other, `levels` each. */
  readonly curves: Float32Array;
  readonly clips: Uint8Array;
  readonly slopes: Float32Array;
  readonly offsets: Int8Array;
  readonly toStored: Int32Array;
  /** Per pixel: its column and row. */
  readonly x: Uint16Array;
  readonly y: Uint16Array;
  /** Place in the area, −.5 to .5 from its middle, along its top edge and its left edge, perspective undone. */
  readonly u: Float32Array;
  readonly v: Float32Array;
  /** Per channel, 100 × cube root of linear light: steps of one are about one L* anywhere on the scale. */
  readonly root: readonly [Float32Array, Float32Array, Float32Array];
  /** A verdict, zero to begin with. */
  readonly kind: Uint8Array;
  /** Bits 0–2: channel clipped at the top; bits 3–5: at the bottom. */
  readonly clipped: Uint8Array;
  /** Six numbers a tile. */
  readonly tiles: Float64Array;
  /** Address of what a fall-off is worked out with. */
  readonly fallOff: number;
  /** What the loops hand back, or are handed. */
  readonly out: Float64Array;
  readonly verdicts: Uint8Array;
  readonly means: Float64Array;
  readonly edges: Float64Array;
}

/** Numbers handed back at most: one a tile, or fifteen a cell. */
const OUT = Math.max(MOST_TILES ** 2, 15 * CELLS ** 2);

const NOTHING: AreaNeeds = { pixels: 0, spans: 0, codes: 0, levels: 0, offsets: 0, blocks: 0 };

let last: AreaWorkspace | undefined;

/** The workspace, with room for as much; what was in it is lost when it has to grow. */
export function areaWorkspace(needs: Partial<AreaNeeds>): AreaWorkspace {
  const keys = Object.keys(NOTHING) as (keyof AreaNeeds)[];
  const held = last?.room ?? NOTHING;
  if (last && keys.every((key) => (needs[key] ?? 0) <= held[key])) return last;
  const room = { ...NOTHING };
  for (const key of keys) {
    const needed = needs[key] ?? 0;
    room[key] = needed <= held[key] ? held[key] : Math.ceil(1.5 * needed);
  }
  last = layOut(last?.code ?? startCompiled<AreaCode>(WASM), room);
  return last;
}

function layOut(code: AreaCode, room: AreaNeeds): AreaWorkspace {
  const { pixels, levels } = room;
  const { place, grow } = memoryFrom(code.firstFree());
  // in the order in which `use` takes them over
  const at = {
    spans: place(12 * room.spans),
    codes: place(room.codes),
    matrix: place(72),
    curves: place(12 * levels),
    clips: place(levels),
    slopes: place(3 * 1024),
    offsets: place(room.offsets),
    toStored: place(24),
    x: place(2 * pixels),
    y: place(2 * pixels),
    u: place(4 * pixels),
    v: place(4 * pixels),
    roots: place(12 * pixels),
    weights: place(4 * pixels),
    kinds: place(pixels),
    clipped: place(pixels),
    tileOf: place(2 * pixels),
    tiles: place(48 * MOST_TILES ** 2),
    bins: place(4 * BINS),
    out: place(8 * OUT),
    blocks: place(48 * room.blocks),
  };
  const verdicts = place(MOST_TILES ** 2);
  const means = place(8 * MOST_TILES ** 2);
  const edges = place(96);
  const fallOff = place(code.fallOffBytes());
  const table = place(4 * Object.keys(at).length);
  const buffer = grow(code.memory);
  new Uint32Array(buffer, table, Object.keys(at).length).set(Object.values(at));
  code.use(table, pixels);
  return {
    room,
    code,
    spans: new Uint32Array(buffer, at.spans, 3 * room.spans),
    codes: new Uint8Array(buffer, at.codes, room.codes),
    matrix: new Float64Array(buffer, at.matrix, 9),
    curves: new Float32Array(buffer, at.curves, 3 * levels),
    clips: new Uint8Array(buffer, at.clips, levels),
    slopes: new Float32Array(buffer, at.slopes, 768),
    offsets: new Int8Array(buffer, at.offsets, room.offsets),
    toStored: new Int32Array(buffer, at.toStored, 6),
    x: new Uint16Array(buffer, at.x, pixels),
    y: new Uint16Array(buffer, at.y, pixels),
    u: new Float32Array(buffer, at.u, pixels),
    v: new Float32Array(buffer, at.v, pixels),
    root: [
      new Float32Array(buffer, at.roots, pixels),
      new Float32Array(buffer, at.roots + 4 * pixels, pixels),
      new Float32Array(buffer, at.roots + 8 * pixels, pixels),
    ],
    kind: new Uint8Array(buffer, at.kinds, pixels),
    clipped: new Uint8Array(buffer, at.clipped, pixels),
    tiles: new Float64Array(buffer, at.tiles, 6 * MOST_TILES ** 2),
    fallOff,
    out: new Float64Array(buffer, at.out, OUT),
    verdicts: new Uint8Array(buffer, verdicts, MOST_TILES ** 2),
    means: new Float64Array(buffer, means, MOST_TILES ** 2),
    edges: new Float64Array(buffer, edges, 12),
  };
}
