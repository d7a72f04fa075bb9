/** How sharp a photo is, from the black edges of the card's markers in it. */
import type { PointPx, Raster } from '../../photo/types.ts';
import { lightAt } from './patch-of-light.ts';

/** An edge of something black on white: its ends, and a point on the white side. */
export interface SharpEdge {
  readonly from: PointPx;
  readonly to: PointPx;
  readonly white: PointPx;
}

const REACH_PX = 6;
const STEP_PX = 0.25;

/**
 * Width (standard deviation, px) of the blur over edges, the pixels' own included; undefined where no edge can be used.
 * For an edge e that rises from 0 to 1 through a Gaussian, ∫ e (1 − e) = width / √π, wherever the edge lies.
 *
 * @param toLight linear light of what the file's linear values say
 */
export function blurOfEdges(
  raster: Raster,
  edges: readonly SharpEdge[],
  toLight: (v: number) => number = (v) => v,
): number | undefined {
  const widths = edges.flatMap((edge) => widthOf(raster, edge, toLight)).sort((a, b) => a - b);
  return widths.length < 4 ? undefined : Math.max(0.25, widths[widths.length >> 1]);
}

function widthOf(raster: Raster, { from, to, white }: SharpEdge, toLight: (v: number) => number): number[] {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const length = Math.hypot(dx, dy);
  if (length < 8) return [];
  const side = Math.sign((white[0] - from[0]) * -dy + (white[1] - from[1]) * dx);
  const normal = [(-dy / length) * side, (dx / length) * side];
  const steps = Math.floor(length);
  const profile: number[] = [];
  for (let d = -REACH_PX; d <= REACH_PX; d += STEP_PX) {
    let sum = 0;
    for (let i = 0; i < steps; i++) {
      const t = (i + 0.5) / steps;
      sum += lightAt(raster, from[0] + t * dx + d * normal[0], from[1] + t * dy + d * normal[1]);
    }
    profile.push(toLight(sum / steps));
  }
  const ends = Math.round(1.5 / STEP_PX);
  const mean = (v: readonly number[]): number => v.reduce((a, b) => a + b, 0) / v.length;
  const [low, high] = [mean(profile.slice(0, ends)), mean(profile.slice(-ends))];
  // clipped white, or no edge of black on white
  if (!(high > 2 * low)) return [];
  const area = profile.reduce((s, v) => {
    const e = (v - low) / (high - low);
    return s + e * (1 - e) * STEP_PX;
  }, 0);
  return [area * Math.sqrt(Math.PI)];
}
