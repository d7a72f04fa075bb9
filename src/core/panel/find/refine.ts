import { isConvexQuad } from '../../photo/polygon.ts';
import { medianOf } from '../../photo/sample-tiles.ts';
import type { PointPx, QuadPx, Raster } from '../../photo/types.ts';
import { crossing } from './outline.ts';
import { rootLight } from './root-light.ts';

/** Profiles read across each side. */
const PROFILES = 32;
/** Share of a side left out at each end: corners are rounded and hung by holes. */
const END = 0.12;
/** A step across a side smaller than this, in root steps, is no edge. */
const SMALLEST_STEP = 2;

/** A quadrilateral laid on the edges found in the full-size photo, and how well they carry it. */
export interface RefinedQuad {
  readonly quad: QuadPx;
  /** Per side, share of the profiles whose edge lies on the fitted line. */
  readonly support: readonly number[];
  /** Per side, the usual step of colour across it, root steps. */
  readonly step: readonly number[];
}

interface Line {
  readonly from: PointPx;
  readonly to: PointPx;
  readonly support: number;
  readonly step: number;
}

/**
 * Looks within `reach_px` of each side for the strongest step of colour along profiles square to the side, fits
 * a line to their places (least trimmed by repeated fits), and meets the four lines in new corners. A side
 * without a clear line stays where it was. Undefined when the lines meet in no convex quadrilateral.
 */
export function refineQuad(raster: Raster, quad: QuadPx, reach_px: number): RefinedQuad | undefined {
  const lines = quad.map((a, i) => fitSide(raster, a, quad[(i + 1) % 4], reach_px));
  const corners = lines.map((line, i) => {
    const before = lines[(i + 3) % 4];
    return crossing(before.from, before.to, line.from, line.to);
  });
  if (!corners.every((c) => c !== undefined)) return undefined;
  const refined = corners as unknown as QuadPx;
  if (!isConvexQuad(refined)) return undefined;
  return {
    quad: refined,
    support: lines.map((line) => line.support),
    step: lines.map((line) => line.step),
  };
}

function fitSide(raster: Raster, a: PointPx, b: PointPx, reach_px: number): Line {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const tx = (b[0] - a[0]) / length;
  const ty = (b[1] - a[1]) / length;
  const places: number[] = [];
  const offsets: number[] = [];
  const weights: number[] = [];
  for (let k = 0; k < PROFILES; k++) {
    const at = length * (END + ((1 - 2 * END) * (k + 0.5)) / PROFILES);
    const edge = strongestStep(raster, a[0] + tx * at, a[1] + ty * at, ty, -tx, reach_px);
    if (!edge) continue;
    places.push(at);
    offsets.push(edge.offset);
    weights.push(edge.step);
  }
  const fit = trimmedLine(places, offsets, weights, reach_px);
  const move = (at: number): PointPx => {
    const offset = fit ? fit.level + fit.slope * at : 0;
    return [a[0] + tx * at + ty * offset, a[1] + ty * at - tx * offset];
  };
  return {
    from: move(0),
    to: move(length),
    support: (fit?.members ?? 0) / PROFILES,
    step: medianOf(weights),
  };
}

/** Offset, px along the normal (nx, ny), of the strongest step of colour within reach, and its size in root steps. */
function strongestStep(
  raster: Raster,
  x: number,
  y: number,
  nx: number,
  ny: number,
  reach_px: number,
): { offset: number; step: number } | undefined {
  // the profile is read in `count` places; each is the mean over `thick` pixels along it
  const spacing = Math.max(1, reach_px / 12);
  const half = Math.ceil(reach_px / spacing);
  const count = 2 * half + 1;
  const profile = new Float64Array(3 * count);
  for (let i = 0; i < count; i++) {
    const s = (i - half) * spacing;
    if (!readMean(raster, x + s * nx, y + s * ny, nx, ny, spacing, profile, 3 * i)) return undefined;
  }
  const gap = 2;
  const steps = new Float64Array(count);
  let best = -1;
  for (let i = gap; i < count - gap; i++) {
    let square = 0;
    for (let c = 0; c < 3; c++) {
      const d =
        profile[3 * (i + 1) + c] +
        profile[3 * (i + 2) + c] -
        profile[3 * (i - 1) + c] -
        profile[3 * (i - 2) + c];
      square += (d / 2) ** 2;
    }
    steps[i] = Math.sqrt(square);
    if (best < 0 || steps[i] > steps[best]) best = i;
  }
  if (best < 0 || steps[best] < SMALLEST_STEP) return undefined;
  let weight = 0;
  let moment = 0;
  for (let i = Math.max(gap, best - 2); i <= Math.min(count - gap - 1, best + 2); i++) {
    const w = steps[i] ** 2;
    weight += w;
    moment += w * i;
  }
  return { offset: (moment / weight - half) * spacing, step: steps[best] };
}

/** Mean root colour of a few pixels about a place, spread across the profile's direction and over its spacing. */
function readMean(
  raster: Raster,
  x: number,
  y: number,
  nx: number,
  ny: number,
  spacing: number,
  out: Float64Array,
  at: number,
): boolean {
  const { width_px, height_px, data } = raster;
  const [red, green, blue] = raster.profile.decode;
  let r = 0;
  let g = 0;
  let b = 0;
  let n = 0;
  for (let across = -1; across <= 1; across++)
    for (let along = -0.25; along <= 0.25; along += 0.5) {
      const px = Math.floor(x - across * spacing * ny + along * spacing * nx);
      const py = Math.floor(y + across * spacing * nx + along * spacing * ny);
      if (px < 0 || py < 0 || px >= width_px || py >= height_px) continue;
      const i = 3 * (py * width_px + px);
      r += red[data[i]];
      g += green[data[i + 1]];
      b += blue[data[i + 2]];
      n++;
    }
  if (n === 0) return false;
  out[at] = rootLight(r / n);
  out[at + 1] = rootLight(g / n);
  out[at + 2] = rootLight(b / n);
  return true;
}

/** A line offset = level + slope·place through the most consistent of the edges; undefined with too few of them. */
function trimmedLine(
  places: readonly number[],
  offsets: readonly number[],
  weights: readonly number[],
  reach_px: number,
): { level: number; slope: number; members: number } | undefined {
  const n = places.length;
  if (n < 6) return undefined;
  let best: { level: number; slope: number; members: number } | undefined;
  const within = Math.max(1, reach_px / 10);
  // every pair of edges some way apart proposes a line; the one that most edges lie on wins
  for (let i = 0; i < n; i += 2)
    for (let j = i + (n >> 2); j < n; j += 3) {
      const slope = (offsets[j] - offsets[i]) / (places[j] - places[i]);
      if (Math.abs(slope) > 0.15) continue;
      const level = offsets[i] - slope * places[i];
      let members = 0;
      for (let k = 0; k < n; k++) if (Math.abs(offsets[k] - level - slope * places[k]) < within) members++;
      if (!best || members > best.members) best = { level, slope, members };
    }
  if (!best || best.members < 6) return undefined;
  for (let round = 0; round < 3; round++) {
    let w = 0;
    let p = 0;
    let o = 0;
    let pp = 0;
    let po = 0;
    let members = 0;
    for (let k = 0; k < n; k++) {
      if (Math.abs(offsets[k] - best.level - best.slope * places[k]) >= within) continue;
      members++;
      w += weights[k];
      p += weights[k] * places[k];
      o += weights[k] * offsets[k];
      pp += weights[k] * places[k] ** 2;
      po += weights[k] * places[k] * offsets[k];
    }
    const det = w * pp - p * p;
    if (members < 6 || det <= 0) break;
    const slope: number = (w * po - p * o) / det;
    best = { level: (o - slope * p) / w, slope, members };
  }
  return best;
}
