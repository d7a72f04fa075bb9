import type { Vec3 } from '../math/linear.ts';
import { CELL_SHIFT, ROUNDING_UNIT, type Rounding } from './jpeg/index.ts';
import { eachPixelRow, innerQuad, quadArea, quadToSquareMatrix, shortestSide } from './polygon.ts';
import { coveredShare, type InwardEdges, inwardEdges } from './sample-coverage.ts';
import type { ColourProfile, QuadPx, Raster } from './types.ts';

/**
 * The pixels of one area, visited evenly, as parallel arrays whose first `count` entries count. The arrays are
 * used again for the next area: reading dozens of areas a photo would otherwise be mostly memory traffic.
 */
export interface AreaPixels {
  readonly count: number;
  /** Pixel column and row. */
  readonly x: Uint16Array;
  readonly y: Uint16Array;
  /** Place in the area, −.5 to .5 from its middle, along its top edge and its left edge, perspective undone. */
  readonly u: Float32Array;
  readonly v: Float32Array;
  /** Per channel, 100 × cube root of linear light: steps of one are about one L* anywhere on the scale. */
  readonly root: readonly [Float32Array, Float32Array, Float32Array];
  /** Per channel, mean encoded value. */
  readonly meanCode: readonly [number, number, number];
  /** Bits 0–2: channel clipped at the top; bits 3–5: at the bottom. */
  readonly clipped: Uint8Array;
  /** The bits that any pixel has. */
  readonly anyClipped: number;
  /** Room for one verdict a pixel, zero to begin with. */
  readonly kind: Uint8Array;
  /** Share of each pixel that lies in the area: a small one's outline runs through many of its pixels. 1 in large areas. */
  readonly weight: Float32Array;
  /** Rows and columns stepped over between visits. */
  readonly stride: number;
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

/** Adds to the root values what the decoder rounded away, along the curve at each pixel's own value. */
function giveBackRounding(
  rounding: Rounding,
  { x, y, root: [r, g, b] }: Workspace,
  count: number,
  raster: Raster,
): void {
  const { columns, offsets, toStored: m } = rounding;
  const { data, width_px } = raster;
  const [slopeR, slopeG, slopeB] = lookupOf(raster).slope;
  for (let i = 0; i < count; i++) {
    const column = (m[0] * x[i] + m[1] * y[i] + m[2]) >> CELL_SHIFT;
    const row = (m[3] * x[i] + m[4] * y[i] + m[5]) >> CELL_SHIFT;
    const cell = 3 * (row * columns + column);
    const at = 3 * (y[i] * width_px + x[i]);
    r[i] += (offsets[cell] / ROUNDING_UNIT) * slopeR[data[at]];
    g[i] += (offsets[cell + 1] / ROUNDING_UNIT) * slopeG[data[at + 1]];
    b[i] += (offsets[cell + 2] / ROUNDING_UNIT) * slopeB[data[at + 2]];
  }
}

type Workspace = Pick<AreaPixels, 'x' | 'y' | 'u' | 'v' | 'root' | 'clipped' | 'kind' | 'weight'>;
let workspace = workspaceFor(0);

function workspaceFor(room: number): Workspace {
  const column = (): Float32Array => new Float32Array(room);
  return {
    x: new Uint16Array(room),
    y: new Uint16Array(room),
    u: column(),
    v: column(),
    root: [column(), column(), column()],
    clipped: new Uint8Array(room),
    kind: new Uint8Array(room),
    weight: column(),
  };
}

/**
 * Visits at most about `maxPixels` pixels of an area, evenly: every n-th row, every n-th pixel along it, each row
 * starting elsewhere so that the visits don't fall in step with 8-pixel compression blocks. Of an area with fewer pixels
 * those count too, by their share, that its outline crosses: else a row more or less would hang on a tenth of a pixel.
 */
export function visitPixels(raster: Raster, quad: QuadPx, maxPixels: number): AreaPixels {
  const stride = Math.max(1, Math.ceil(Math.sqrt(quadArea(quad) / maxPixels)));
  const spans: number[] = [];
  let room = 0;
  const isSmall = stride === 1;
  const visited = isSmall ? innerQuad(quad, -1 / shortestSide(quad)) : quad;
  eachPixelRow(raster, visited, stride, (y, from, to) => {
    const start = from + ((Math.imul(y, 0x9e3779b1) >>> 8) % stride);
    if (start >= to) return;
    spans.push(y, start, to);
    room += Math.ceil((to - start) / stride);
  });

  if (workspace.x.length < room) workspace = workspaceFor(Math.ceil(1.5 * room));
  workspace.kind.fill(0, 0, room);
  workspace.weight.fill(1, 0, room);
  const { sums, anyClipped } = visitSpans(raster, spans, stride, quadToSquareMatrix(quad), workspace);
  const per = 1 / Math.max(1, room);
  const meanCode = [sums[0] * per, sums[1] * per, sums[2] * per] as const;
  const count = isSmall ? keepCovered(workspace, room, inwardEdges(quad)) : room;
  if (raster.rounding) giveBackRounding(raster.rounding, workspace, count, raster);
  const { x, y, u, v, root, clipped, kind, weight } = workspace;
  return { count, x, y, u, v, root, meanCode, clipped, anyClipped, kind, weight, stride };
}

/** Weighs the pixels by what lies inside, and drops those that lie outside; returns how many are left. */
function keepCovered(
  { x, y, u, v, root, clipped, weight }: Workspace,
  count: number,
  edges: InwardEdges,
): number {
  let kept = 0;
  for (let i = 0; i < count; i++) {
    const share = coveredShare(edges, x[i], y[i]);
    if (share === 0) continue;
    x[kept] = x[i];
    y[kept] = y[i];
    u[kept] = u[i];
    v[kept] = v[i];
    for (let c = 0; c < 3; c++) root[c][kept] = root[c][i];
    clipped[kept] = clipped[i];
    weight[kept++] = share;
  }
  return kept;
}

/** Fills the workspace with every `stride`-th pixel of spans of y, first x and end; adds up the encoded values. */
function visitSpans(
  raster: Raster,
  spans: readonly number[],
  stride: number,
  m: Float64Array,
  { x: xs, y: ys, u, v, root: [rootR, rootG, rootB], clipped }: Workspace,
): { readonly sums: Vec3; readonly anyClipped: number } {
  const { data, width_px } = raster;
  const { root, clip } = lookupOf(raster);
  const [curveR, curveG, curveB] = root;
  let sumR = 0;
  let sumG = 0;
  let sumB = 0;
  let anyClipped = 0;
  let n = 0;
  for (let s = 0; s < spans.length; s += 3) {
    const y = spans[s];
    const cy = y + 0.5;
    for (let x = spans[s + 1]; x < spans[s + 2]; x += stride) {
      const at = 3 * (y * width_px + x);
      const r = data[at];
      const g = data[at + 1];
      const b = data[at + 2];
      const cx = x + 0.5;
      const w = m[6] * cx + m[7] * cy + m[8];
      xs[n] = x;
      ys[n] = y;
      u[n] = (m[0] * cx + m[1] * cy + m[2]) / w - 0.5;
      v[n] = (m[3] * cx + m[4] * cy + m[5]) / w - 0.5;
      rootR[n] = curveR[r];
      rootG[n] = curveG[g];
      rootB[n] = curveB[b];
      const bits = clip[r] | (clip[g] << 1) | (clip[b] << 2);
      clipped[n] = bits;
      anyClipped |= bits;
      sumR += r;
      sumG += g;
      sumB += b;
      n++;
    }
  }
  return { sums: [sumR, sumG, sumB], anyClipped };
}
