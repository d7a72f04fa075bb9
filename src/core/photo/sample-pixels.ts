import type { Vec3 } from '../math/linear.ts';
import { type AreaNeeds, type AreaWorkspace, areaWorkspace } from './area-code.ts';
import type { Rounding } from './jpeg/index.ts';
import { innerQuad, quadArea, quadToSquareMatrix, shortestSide } from './polygon.ts';
import { inwardEdges } from './sample-coverage.ts';
import type { ColourProfile, QuadPx, Raster } from './types.ts';

/** The pixels of one area, visited evenly: the first `count` of the workspace's arrays, which the next area uses again. */
export interface AreaPixels {
  readonly workspace: AreaWorkspace;
  readonly count: number;
  /** Per channel, mean encoded value. */
  readonly meanCode: readonly [number, number, number];
  readonly grid: BlockGrid;
}

/** Per channel, the clipped bits that keep a pixel out of its mean; `any` keeps it out of all three. */
export interface UnusedBits {
  readonly any: number;
  readonly channel: Vec3;
}

/** Bits of a clipped value: at the top, at the bottom. */
const HIGH = 1;
const LOW = 8;

/** What is looked up by encoded value: red, green and blue each. */
interface Lookup {
  /** 100 × cube root of linear light. */
  readonly root: readonly [Float32Array, Float32Array, Float32Array];
  /** Its change with one step, 8 bit; none at either end, where a value was cut off, not rounded. */
  readonly slope: readonly [Float32Array, Float32Array, Float32Array];
  /**
   * `HIGH` from 254 (8 bit) or 65000 (252.9 of 255) on; `LOW` to 1, or 257 (1 of 255) of 16 bit where a transfer curve
   * crowds the darks: proportional 16-bit values hold real light down to the last step, so only 0 is clipped there.
   */
  readonly clip: Uint8Array;
}

const lookups = new WeakMap<ColourProfile, Lookup>();

/** Computed once a profile. */
function lookupOf({ profile, bits }: Raster): Lookup {
  let lookup = lookups.get(profile);
  if (!lookup) {
    const [r, g, b] = profile.decode;
    const root = rooted(r);
    const first = { root, slope: slopes(root) };
    const other = (curve: Float32Array): typeof first => {
      if (curve === r) return first;
      const own = rooted(curve);
      return { root: own, slope: slopes(own) };
    };
    const [second, third] = [other(g), other(b)];
    const low = bits === 8 ? 1 : profile.isLinear ? 0 : 257;
    lookup = {
      root: [root, second.root, third.root],
      slope: [first.slope, second.slope, third.slope],
      clip: Uint8Array.from(root, (_, code) =>
        code >= (bits === 8 ? 254 : 65000) ? HIGH : code <= low ? LOW : 0,
      ),
    };
    lookups.set(profile, lookup);
  }
  return lookup;
}

function rooted(curve: Float32Array): Float32Array {
  return curve.map((value) => 100 * Math.cbrt(value));
}

function slopes(root: Float32Array): Float32Array {
  const out = new Float32Array(256);
  for (let code = 1; code < 255; code++) out[code] = 0.5 * (root[code + 1] - root[code - 1]);
  return out;
}

/** The last photo's tables that the workspace holds. */
let held: { workspace?: AreaWorkspace; lookup?: Lookup; rounding?: Rounding } = {};

/** Puts a photo's tables into the workspace, where they are not there from the area before. */
function holdTables(workspace: AreaWorkspace, raster: Raster): void {
  if (held.workspace !== workspace) held = { workspace };
  const lookup = lookupOf(raster);
  if (held.lookup !== lookup) {
    lookup.root.forEach((curve, c) => {
      workspace.curves.set(curve, c * workspace.room.levels);
    });
    lookup.slope.forEach((slope, c) => {
      workspace.slopes.set(slope, 256 * c);
    });
    workspace.clips.set(lookup.clip);
    held.lookup = lookup;
  }
  const { rounding } = raster;
  if (rounding && held.rounding !== rounding) {
    workspace.offsets.set(rounding.offsets);
    workspace.toStored.set(rounding.toStored);
    held.rounding = rounding;
  }
}

/**
 * Visits at most about `maxPixels` pixels of an area, evenly: every n-th row, every n-th pixel along it, each row
 * starting elsewhere so that the visits don't fall in step with 8-pixel compression blocks. Of an area with fewer pixels
 * those count too, by their share, that its outline crosses: else a row more or less would hang on a tenth of a pixel.
 * What the decoder rounded away is added to the root values, along the curve at each pixel's own value.
 */
export function visitPixels(raster: Raster, quad: QuadPx, maxPixels: number): AreaPixels {
  const stride = Math.max(1, Math.ceil(Math.sqrt(quadArea(quad) / maxPixels)));
  const isSmall = stride === 1;
  const spans = spansOf(raster, isSmall ? innerQuad(quad, -1 / shortestSide(quad)) : quad, stride);
  const grid = blockGrid(spans, stride);
  const workspace = areaWorkspace(needsOf(raster, spans, grid));
  holdTables(workspace, raster);
  workspace.spans.set(spans.list);
  workspace.matrix.set(quadToSquareMatrix(quad));
  copyCodes(raster, spans, workspace.codes);

  const { code, out } = workspace;
  const bytes = raster.bits / 8;
  const columns = raster.rounding?.columns ?? 0;
  const visited = code.visit(spans.list.length / 3, stride, bytes, workspace.room.levels, columns);
  const per = 1 / Math.max(1, visited);
  const meanCode = [out[0] * per, out[1] * per, out[2] * per] as const;
  let count = visited;
  if (isSmall) {
    workspace.edges.set(inwardEdges(quad));
    count = code.keepCovered(visited, workspace.edges.byteOffset);
  }
  return { workspace, count, meanCode, grid };
}

/** The pixels to visit, row by row. */
interface Spans {
  /** y, first x and end of each. */
  readonly list: Uint32Array;
  /** Pixels between first and end of them all. */
  readonly width_px: number;
  /** Of all spans: the first x, and the largest end. */
  readonly left: number;
  readonly right: number;
  readonly visits: number;
}

function spansOf({ width_px, height_px }: Raster, quad: QuadPx, stride: number): Spans {
  const { code, matrix, out, spans } = areaWorkspace({ spans: Math.ceil(height_px / stride) });
  matrix.set(quad.flat());
  const count = code.findSpans(stride, width_px, height_px);
  const [between, left, right, visits] = out;
  return { list: spans.slice(0, 3 * count), width_px: between, left, right, visits };
}

function needsOf(raster: Raster, { list, width_px, visits }: Spans, { columns, rows }: BlockGrid): AreaNeeds {
  return {
    pixels: visits,
    spans: list.length / 3,
    codes: (3 * width_px * raster.bits) / 8,
    levels: raster.bits === 8 ? 256 : 65536,
    offsets: raster.rounding?.offsets.length ?? 0,
    // a quarter of the blocks is left at each larger scale, and a half more along the edges
    blocks: 2 * (columns + 4) * (rows + 4),
  };
}

function copyCodes({ data, width_px }: Raster, { list }: Spans, codes: Uint8Array): void {
  const bytes = data.BYTES_PER_ELEMENT;
  const all = new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
  let to = 0;
  for (let s = 0; s < list.length; s += 3) {
    const row = list[s] * width_px;
    const span = all.subarray(3 * bytes * (row + list[s + 1]), 3 * bytes * (row + list[s + 2]));
    codes.set(span, to);
    to += span.length;
  }
}

/** Smallest block, 2^2 = 4 px; larger ones are 2, 4 and 8 times as wide. 8 px is JPEG's own block. */
const BLOCK_SHIFT = 2;

/** A photo-wide grid of blocks as far as an area reaches. */
interface BlockGrid {
  /** First column and row of the grid. */
  readonly left: number;
  readonly top: number;
  readonly columns: number;
  readonly rows: number;
  /** log₂ of a block's side, px. */
  readonly shift: number;
}

function blockGrid({ list, left, right }: Spans, stride: number): BlockGrid {
  // a block of fewer than some visits is no block: start where one holds four or more
  let shift = BLOCK_SHIFT;
  while (1 << shift < 2 * stride) shift++;
  if (list.length === 0) return { left: 0, top: 0, columns: 0, rows: 0, shift };
  const top = list[0] >> shift;
  return {
    left: left >> shift,
    top,
    columns: ((right - 1) >> shift) - (left >> shift) + 1,
    rows: (list[list.length - 3] >> shift) - top + 1,
    shift,
  };
}
