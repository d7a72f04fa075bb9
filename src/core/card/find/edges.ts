import { type Light, lightAt } from './light.ts';
import { type Corners, intersections, isSound, sideLength } from './quads.ts';

/** A dark square's four edges, fitted to the light. */
export interface FittedSquare {
  readonly corners: Corners;
  /** Spread of the edges: standard deviation of the blur across them, px. */
  readonly blur_px: number;
  /** Part of the places looked at that showed the edge, 0–1. */
  readonly support: number;
}

interface SideFit {
  offset: number;
  slope: number;
  blur2: number;
  seen: number;
}

/** A round that moves no corner farther than this was the last. */
const SETTLED_PX = 0.01;
/** Parts of a side left out at both ends, where corners round the edge off. */
const END = 0.07;

/**
 * Moves the sides of a dark square on bright ground to the middle of the light's slope there, in linear light (gamma
 * would pull the edge into the dark), by lines through the slope's centre of mass at many places along each side.
 *
 * @param corners the square, px, to within `reach_px`
 * @param reach_px how far from the square its edges are looked for at first
 * @param places how many places along a side are looked at
 */
export function fitSquare(
  light: Light,
  corners: Corners,
  reach_px: number,
  places: number,
  rounds: number,
): FittedSquare | undefined {
  let quad = corners;
  let blur = 0;
  let support = 0;
  const lines = new Float64Array(12);
  for (let round = 0; round < rounds; round++) {
    const reach = round === 0 ? reach_px : Math.min(reach_px, Math.max(2.5, 3 * blur + 1));
    let blur2 = 0;
    support = 0;
    for (let side = 0; side < 4; side++) {
      const fit = fitSide(light, quad, side, reach, places);
      if (!fit) return undefined;
      writeLine(quad, side, fit, lines);
      blur2 += fit.blur2 / 4;
      support += fit.seen / 4;
    }
    const moved = intersections(lines);
    if (!moved || !isSound(moved)) return undefined;
    const settled = farthestMove(quad, moved) < SETTLED_PX;
    quad = moved;
    blur = Math.sqrt(blur2);
    if (settled && round > 0) break;
  }
  return { corners: quad, blur_px: blur, support };
}

function farthestMove(from: Corners, to: Corners): number {
  let most = 0;
  for (let i = 0; i < 8; i++) most = Math.max(most, Math.abs(to[i] - from[i]));
  return most;
}

function writeLine(quad: Corners, side: number, fit: SideFit, lines: Float64Array): void {
  const a = 2 * side;
  const b = 2 * ((side + 1) & 3);
  const length = sideLength(quad, side);
  const dx = (quad[b] - quad[a]) / length;
  const dy = (quad[b + 1] - quad[a + 1]) / length;
  // two points of the new line: offsets along the outward normal (dy, −dx) at both ends
  const start = fit.offset - fit.slope * 0.5;
  const end = fit.offset + fit.slope * 0.5;
  const x0 = quad[a] + dy * start;
  const y0 = quad[a + 1] - dx * start;
  const x1 = quad[b] + dy * end;
  const y1 = quad[b + 1] - dx * end;
  const l = Math.hypot(x1 - x0, y1 - y0);
  const nx = (y1 - y0) / l;
  const ny = -(x1 - x0) / l;
  lines[3 * side] = nx;
  lines[3 * side + 1] = ny;
  lines[3 * side + 2] = nx * x0 + ny * y0;
}

/** Offset (px, outward) and slope (px over the whole side) of the edge against a side, or undefined without an edge. */
function fitSide(
  light: Light,
  quad: Corners,
  side: number,
  reach: number,
  places: number,
): SideFit | undefined {
  const a = 2 * side;
  const b = 2 * ((side + 1) & 3);
  const length = sideLength(quad, side);
  const dx = (quad[b] - quad[a]) / length;
  const dy = (quad[b + 1] - quad[a + 1]) / length;
  const step = Math.min(0.5, reach / 6);
  const half = Math.ceil(reach / step);
  const slopes = new Float64Array(2 * half);
  const position = new Float64Array(places);
  const offset = new Float64Array(places);
  const spread2 = new Float64Array(places);
  const weight = new Float64Array(places);
  for (let i = 0; i < places; i++) {
    const t = END + ((1 - 2 * END) * (i + 0.5)) / places;
    position[i] = t - 0.5;
    const x = quad[a] + dx * t * length;
    const y = quad[a + 1] + dy * t * length;
    let before = lightAt(light, x - dy * half * step, y + dx * half * step);
    let steepest = 0;
    for (let k = 0; k < 2 * half; k++) {
      const s = (k + 1 - half) * step;
      const here = lightAt(light, x + dy * s, y - dx * s);
      slopes[k] = here - before;
      before = here;
      if (slopes[k] > steepest) steepest = slopes[k];
    }
    centreOfMass(slopes, steepest, half, step, i, offset, spread2, weight);
  }
  return fitLine(position, offset, spread2, weight);
}

function centreOfMass(
  slopes: Float64Array,
  steepest: number,
  half: number,
  step: number,
  at: number,
  offset: Float64Array,
  spread2: Float64Array,
  weight: Float64Array,
): void {
  const floor = 0.15 * steepest;
  let mass = 0;
  let first = 0;
  let second = 0;
  for (let k = 0; k < 2 * half; k++) {
    const g = slopes[k] - floor;
    if (g <= 0) continue;
    const s = (k + 0.5 - half) * step;
    mass += g;
    first += g * s;
    second += g * s * s;
  }
  weight[at] = mass;
  offset[at] = mass > 0 ? first / mass : 0;
  spread2[at] = mass > 0 ? second / mass - offset[at] ** 2 : 0;
}

/** Weighted line through the offsets, outliers taken out by Tukey's biweight over a few rounds. */
function fitLine(
  position: Float64Array,
  offset: Float64Array,
  spread2: Float64Array,
  weight: Float64Array,
): SideFit | undefined {
  const n = position.length;
  const typical = median(weight);
  if (!(typical > 0.004)) return undefined;
  const base = new Float64Array(n);
  for (let i = 0; i < n; i++) if (weight[i] > 0.35 * typical) base[i] = Math.min(1, weight[i] / typical);
  const robust = base.slice();
  const residual = new Float64Array(n);
  let fit: SideFit | undefined;
  for (let round = 0; round < 4; round++) {
    fit = weightedLine(position, offset, spread2, robust);
    if (!fit) return undefined;
    const { offset: c, slope } = fit;
    for (let i = 0; i < n; i++) residual[i] = Math.abs(offset[i] - c - slope * position[i]);
    const scale = Math.max(0.05, 4.685 * 1.4826 * median(residual));
    for (let i = 0; i < n; i++)
      robust[i] = residual[i] < scale ? base[i] * (1 - (residual[i] / scale) ** 2) ** 2 : 0;
  }
  if (!fit) return undefined;
  let seen = 0;
  for (let i = 0; i < n; i++) if (robust[i] > 0) seen += 1 / n;
  return { ...fit, seen };
}

function weightedLine(
  position: Float64Array,
  offset: Float64Array,
  spread2: Float64Array,
  weight: Float64Array,
): SideFit | undefined {
  let w = 0;
  let wt = 0;
  let wtt = 0;
  let wo = 0;
  let wto = 0;
  let blur2 = 0;
  for (let i = 0; i < position.length; i++) {
    const t = position[i];
    w += weight[i];
    wt += weight[i] * t;
    wtt += weight[i] * t * t;
    wo += weight[i] * offset[i];
    wto += weight[i] * t * offset[i];
    blur2 += weight[i] * spread2[i];
  }
  const det = w * wtt - wt * wt;
  if (!(det > 1e-6 * w * w) || !(w > 0.2 * position.length)) return undefined;
  const slope = (w * wto - wt * wo) / det;
  return { offset: (wo - slope * wt) / w, slope, blur2: blur2 / w, seen: 0 };
}

function median(values: Float64Array): number {
  const sorted = values.slice().sort();
  return sorted[sorted.length >> 1];
}
