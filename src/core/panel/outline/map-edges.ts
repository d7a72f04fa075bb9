/** Lays a quadrilateral's sides on the middle of the edge map's ridges, to a fraction of a map pixel. */
import { isConvexQuad, quadArea } from '../../photo/polygon.ts';
import type { PointPx, QuadPx } from '../../photo/types.ts';
import { crossing } from '../find/outline.ts';
import { onMaps } from './map-code.ts';
import type { PanelMaps } from './maps.ts';

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

function sideOnRidge(
  maps: PanelMaps,
  [ax, ay]: PointPx,
  [bx, by]: PointPx,
  farthest: number,
): [PointPx, PointPx] {
  const line = onMaps(
    maps,
    (code) => LINE_BYTES + code.ridgeBytes(),
    (code, work) =>
      code.findRidge(ax, ay, bx, by, farthest, work, work + LINE_BYTES) === 1
        ? new Float64Array(code.memory.buffer, work, 2).slice()
        : undefined,
  );
  if (!line)
    return [
      [ax, ay],
      [bx, by],
    ];
  const length = Math.hypot(bx - ax, by - ay);
  const [tx, ty] = [(bx - ax) / length, (by - ay) / length];
  const [level, slope] = line;
  const [start, end] = [level - slope / 2, level + slope / 2];
  return [
    [ax + ty * start, ay - tx * start],
    [bx + ty * end, by - tx * end],
  ];
}

/** Two numbers. */
const LINE_BYTES = 16;
