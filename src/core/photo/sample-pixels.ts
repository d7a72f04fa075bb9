import { type Rounding, UNKNOWN_OFFSET, workOut } from './jpeg/index.ts';
import { eachPixelRow, quadArea, quadToSquareMatrix } from './polygon.ts';
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
  /** Rows and columns stepped over between visits. */
  readonly stride: number;
}

/** Encoded values at which a channel counts as clipped: at or above `high`, at or below `low`. */
export interface ClipLimits {
  readonly high: number;
  readonly low: number;
}

/**
 * 8 bit: ≥ 254 and ≤ 1. 16 bit: ≥ 65000 (252.9 of 255), and ≤ 257 (1 of 255) where a transfer curve crowds
 * the darks; proportional 16-bit values hold real light down to the last step, so only 0 is clipped there.
 */
export function clipLimits(raster: Raster): ClipLimits {
  if (raster.bits === 8) return { high: 254, low: 1 };
  return { high: 65000, low: raster.profile.isLinear ? 0 : 257 };
}

type Curves = readonly [Float32Array, Float32Array, Float32Array];
const rootCurves = new WeakMap<ColourProfile, Curves>();

/** The profile's curves followed by 100 × cube root, computed once a profile. */
function rootCurvesOf(profile: ColourProfile): Curves {
  const known = rootCurves.get(profile);
  if (known) return known;
  const rooted = (curve: Float32Array): Float32Array => curve.map((value) => 100 * Math.cbrt(value));
  const [r, g, b] = profile.decode;
  const first = rooted(r);
  const made: Curves = [first, g === r ? first : rooted(g), b === r ? first : rooted(b)];
  rootCurves.set(profile, made);
  return made;
}

/** Adds to the root values what the decoder rounded away, along the curve at each pixel's own value. */
function giveBackRounding(
  rounding: Rounding,
  { x, y, root }: Workspace,
  count: number,
  { data, width_px, profile }: Raster,
): void {
  const { cell_px, columns, offsets, unit, toStored: m } = rounding;
  const curves = rootCurvesOf(profile);
  for (let i = 0; i < count; i++) {
    const column = ((m[0] * x[i] + m[1] * y[i] + m[2]) / cell_px) | 0;
    const row = ((m[3] * x[i] + m[4] * y[i] + m[5]) / cell_px) | 0;
    const cell = 3 * (row * columns + column);
    if (offsets[cell] === UNKNOWN_OFFSET) workOut(rounding, row * columns + column);
    const at = 3 * (y[i] * width_px + x[i]);
    for (let c = 0; c < 3; c++) {
      const code = data[at + c];
      // a value at either end was cut off, not rounded
      if (offsets[cell + c] !== 0 && code > 0 && code < 255)
        root[c][i] += (offsets[cell + c] / unit) * 0.5 * (curves[c][code + 1] - curves[c][code - 1]);
    }
  }
}

type Workspace = Pick<AreaPixels, 'x' | 'y' | 'u' | 'v' | 'root' | 'clipped' | 'kind'>;
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
  };
}

/**
 * Visits at most about `maxPixels` pixels of an area, evenly: every n-th row, every n-th pixel along it, each row
 * starting elsewhere so that the visits don't fall in step with 8-pixel compression blocks.
 */
export function visitPixels(raster: Raster, quad: QuadPx, maxPixels: number): AreaPixels {
  const stride = Math.max(1, Math.ceil(Math.sqrt(quadArea(quad) / maxPixels)));
  const spans: number[] = [];
  let room = 0;
  eachPixelRow(raster, quad, stride, (y, from, to) => {
    const start = from + ((Math.imul(y, 0x9e3779b1) >>> 8) % stride);
    if (start >= to) return;
    spans.push(y, start, to);
    room += Math.ceil((to - start) / stride);
  });

  const m = quadToSquareMatrix(quad);
  const { high, low } = clipLimits(raster);
  const { data, width_px } = raster;
  const [curveR, curveG, curveB] = rootCurvesOf(raster.profile);
  if (workspace.x.length < room) workspace = workspaceFor(Math.ceil(1.5 * room));
  const { x: xs, y: ys, u, v, clipped, kind } = workspace;
  const [rootR, rootG, rootB] = workspace.root;
  kind.fill(0, 0, room);
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
      clipped[n] =
        (r >= high ? 1 : 0) |
        (g >= high ? 2 : 0) |
        (b >= high ? 4 : 0) |
        (r <= low ? 8 : 0) |
        (g <= low ? 16 : 0) |
        (b <= low ? 32 : 0);
      anyClipped |= clipped[n];
      sumR += r;
      sumG += g;
      sumB += b;
      n++;
    }
  }
  const { root } = workspace;
  if (raster.rounding) giveBackRounding(raster.rounding, workspace, n, raster);
  const per = 1 / Math.max(1, n);
  const meanCode = [sumR * per, sumG * per, sumB * per] as const;
  return { count: n, x: xs, y: ys, u, v, root, meanCode, clipped, anyClipped, kind, stride };
}
