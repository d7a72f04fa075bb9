/** Lays a quadrilateral's sides on the middle of the edge map's ridges, to a fraction of a map pixel. */
import { isConvexQuad, quadArea } from '../../photo/polygon.ts';
import type { PointPx, QuadPx } from '../../photo/types.ts';
import { crossing } from '../find/outline.ts';
import { COVERED, EDGE_MAP, mapOf, OBJECT_MAP, type PanelMaps } from './maps.ts';

const PLACES = 28;
/** Share of a side left out at each end, where the next side's ridge joins. */
const END = 0.1;
const REACH = 3;
const STEP = 0.5;
/** Least summed probability across a ridge. */
const LEAST_MASS = 0.8;
const ROUNDS = 3;
/** Offsets farther from the line than this many map pixels have no say in the last round. */
const FARTHEST = [2.5, 1.2, 0.7] as const;
/** The area may change by this factor at most. */
const MOST_CHANGE = 1.6;

/** The quadrilateral on the ridges; sides without one stay. */
export function layOnRidges(maps: PanelMaps, quad: QuadPx): QuadPx {
  let now = quad;
  for (let round = 0; round < ROUNDS; round++) {
    const sides = now.map((a, i) => sideOnRidge(maps, a, now[(i + 1) % 4], FARTHEST[round]));
    const corners = sides.map((side, i) => crossing(...sides[(i + 3) % 4], ...side));
    if (!corners.every((c) => c !== undefined)) return now;
    const next = corners as unknown as QuadPx;
    const change = quadArea(next) / quadArea(quad);
    if (!isConvexQuad(next) || change > MOST_CHANGE || change < 1 / MOST_CHANGE) return now;
    now = next;
  }
  return now;
}

function sideOnRidge(maps: PanelMaps, a: PointPx, b: PointPx, farthest: number): [PointPx, PointPx] {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const [tx, ty] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const edge = mapOf(maps, EDGE_MAP);
  const object = mapOf(maps, OBJECT_MAP);
  const found: { at: number; offset: number; weight: number }[] = [];
  for (let k = 0; k < PLACES; k++) {
    const at = END + ((1 - 2 * END) * (k + 0.5)) / PLACES - 0.5;
    const x = a[0] + tx * (at + 0.5) * length;
    const y = a[1] + ty * (at + 0.5) * length;
    let mass = 0;
    let moment = 0;
    let covered = 0;
    for (let s = -REACH; s <= REACH; s += STEP) {
      const e = between(edge, maps, x + ty * s, y - tx * s);
      covered = Math.max(covered, between(object, maps, x + ty * s, y - tx * s));
      mass += e * e * STEP;
      moment += e * e * s * STEP;
    }
    // an object's own outline would be taken for the panel's
    if (covered < COVERED && mass >= LEAST_MASS * STEP)
      found.push({ at, offset: moment / mass, weight: Math.min(1, mass) });
  }
  const line = robustLine(found, farthest);
  if (!line) return [a, b];
  const [start, end] = [line.level - line.slope / 2, line.level + line.slope / 2];
  return [
    [a[0] + ty * start, a[1] - tx * start],
    [b[0] + ty * end, b[1] - tx * end],
  ];
}

/** A map's value between pixel centres. */
function between(map: Float32Array, { width, height }: PanelMaps, x: number, y: number): number {
  const px = Math.min(width - 1.001, Math.max(0, x - 0.5));
  const py = Math.min(height - 1.001, Math.max(0, y - 0.5));
  const x0 = Math.floor(px);
  const y0 = Math.floor(py);
  const fx = px - x0;
  const fy = py - y0;
  const at = y0 * width + x0;
  const top = map[at] + fx * (map[at + 1] - map[at]);
  const bottom = map[at + width] + fx * (map[at + width + 1] - map[at + width]);
  return top + fy * (bottom - top);
}

/** Weighted line through the offsets; those far from it lose their say round by round. */
function robustLine(
  found: readonly { readonly at: number; readonly offset: number; readonly weight: number }[],
  farthest: number,
): { level: number; slope: number } | undefined {
  if (found.length < PLACES / 4) return undefined;
  const sorted = found.map((f) => f.offset).sort((p, q) => p - q);
  let line = { level: sorted[sorted.length >> 1], slope: 0 };
  for (let round = 0; round < 4; round++) {
    let [w, t, o, tt, to] = [0, 0, 0, 0, 0];
    for (const { at, offset, weight } of found) {
      const off = Math.abs(offset - line.level - line.slope * at) / farthest;
      if (off >= 1) continue;
      const own = weight * (1 - off * off) ** 2;
      w += own;
      t += own * at;
      o += own * offset;
      tt += own * at * at;
      to += own * at * offset;
    }
    const det = w * tt - t * t;
    if (!(det > 1e-3 * w * w)) return round === 0 ? undefined : line;
    const slope = (w * to - t * o) / det;
    line = { level: (o - slope * t) / w, slope };
  }
  return line;
}
