/** Lays a quadrilateral's sides on the edges of the full-size photo, to a fraction of a pixel. */
import { isConvexQuad } from '../../photo/polygon.ts';
import type { PointPx, QuadPx, Raster } from '../../photo/types.ts';
import { crossing } from '../find/outline.ts';
import { rootLight } from '../find/root-light.ts';

/** Profiles read across a side, in groups whose steps are added as vectors: noise averages out, an edge does not. */
const GROUPS = 10;
const PER_GROUP = 12;
/** Share of a side left out at each end: corners are rounded. */
const END = 0.08;
/** Least step across an edge, root steps, over all groups. */
const SMALLEST_STEP = 0.6;
/** Rounds: reach and spacing of the profiles, relative to the first reach; later rounds look nearer and finer. */
const ROUNDS = [
  { reach: 1, spacing: 0.1, tilt: 0.5 },
  { reach: 0.3, spacing: 0.04, tilt: 0.15 },
  { reach: 0.12, spacing: 0.02, tilt: 0.05 },
] as const;
const FINEST_PX = 0.5;
const LEAST_REACH_PX = 2.5;

export interface LaidQuad {
  readonly quad: QuadPx;
  /** Per side, the step of colour across it, root steps (about L* units); 0 where no edge was found. */
  readonly steps: readonly number[];
}

/** A line against a side: offset outward (px) at its middle, and how much farther out it lies at its end than its start. */
interface SideLine {
  readonly offset: number;
  readonly tilt: number;
  readonly step: number;
}

/**
 * Moves each side to the straight edge near it that the most colour changes across, from rough to fine.
 *
 * @param reach_px how far from the sides their edges may lie
 * @returns the quadrilateral, or undefined when the sides meet in none
 */
export function layOnEdges(raster: Raster, quad: QuadPx, reach_px: number): LaidQuad | undefined {
  let now = quad;
  let steps: number[] = [0, 0, 0, 0];
  for (const round of ROUNDS) {
    const reach = Math.max(LEAST_REACH_PX, round.reach * reach_px);
    const spacing = Math.max(FINEST_PX, round.spacing * reach_px);
    const lines = now.map((a, i) => bestLine(raster, a, now[(i + 1) % 4], reach, spacing, round.tilt));
    const sides = lines.map((line, i) => moved(now[i], now[(i + 1) % 4], line));
    const corners = sides.map((side, i) => crossing(...sides[(i + 3) % 4], ...side));
    if (!corners.every((c) => c !== undefined)) return undefined;
    const next = corners as unknown as QuadPx;
    if (!isConvexQuad(next)) return undefined;
    now = next;
    steps = lines.map((line) => line?.step ?? 0);
    if (spacing === FINEST_PX && reach === LEAST_REACH_PX) break;
  }
  return { quad: now, steps };
}

function moved(a: PointPx, b: PointPx, line: SideLine | undefined): [PointPx, PointPx] {
  if (!line) return [a, b];
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const [nx, ny] = [(b[1] - a[1]) / length, -(b[0] - a[0]) / length];
  const [start, end] = [line.offset - line.tilt / 2, line.offset + line.tilt / 2];
  return [
    [a[0] + nx * start, a[1] + ny * start],
    [b[0] + nx * end, b[1] + ny * end],
  ];
}

/**
 * The line across which colour changes most: over all offsets within reach and a range of tilts, the root mean square
 * over groups of profiles of each group's summed step.
 */
function bestLine(
  raster: Raster,
  a: PointPx,
  b: PointPx,
  reach: number,
  spacing: number,
  tiltShare: number,
): SideLine | undefined {
  const half = Math.ceil(reach / spacing);
  const count = 2 * half + 1;
  const steps = groupSteps(raster, a, b, half, spacing);
  const lengths = steps.map(Math.sqrt);
  const most = Math.max(1, Math.round(tiltShare * half));
  let best = -1;
  let at = 0;
  let tilt = 0;
  for (let lean = -2 * most; lean <= 2 * most; lean++)
    for (let i = 0; i < count; i++) {
      // what lies near the expected place wins among equals
      const value = meanAlong(lengths, count, i, lean) * (1 - (0.25 * Math.abs(i - half)) / (half + 1));
      if (value > best) {
        best = value;
        at = i;
        tilt = lean;
      }
    }
  const step = meanAlong(lengths, count, at, tilt);
  if (step < SMALLEST_STEP) return undefined;
  return polished(steps, count, at, tilt, half, spacing, step);
}

/** Mean over the groups of the steps along a line, which leans by so many places from its start to its end. */
function meanAlong(lengths: Float64Array, count: number, offset: number, lean: number): number {
  let sum = 0;
  for (let g = 0; g < GROUPS; g++) {
    const i = Math.round(offset + (lean * (g + 0.5)) / GROUPS - lean / 2);
    if (i >= 0 && i < count) sum += lengths[g * count + i];
  }
  return sum / GROUPS;
}

/** The line through each group's own peak near the found one, by least squares weighted by the groups' steps. */
function polished(
  steps: Float64Array,
  count: number,
  at: number,
  tilt: number,
  half: number,
  spacing: number,
  step: number,
): SideLine {
  let [w, t, o, tt, to] = [0, 0, 0, 0, 0];
  for (let g = 0; g < GROUPS; g++) {
    const place = (g + 0.5) / GROUPS - 0.5;
    const middle = Math.round(at + tilt * place);
    let [mass, moment] = [0, 0];
    for (let i = Math.max(0, middle - 2); i <= Math.min(count - 1, middle + 2); i++) {
      const s = steps[g * count + i];
      mass += s;
      moment += s * i;
    }
    if (mass <= 0) continue;
    const weight = Math.sqrt(mass);
    const offset = moment / mass;
    w += weight;
    t += weight * place;
    o += weight * offset;
    tt += weight * place * place;
    to += weight * place * offset;
  }
  const det = w * tt - t * t;
  if (det <= 1e-9) return { offset: (at - half) * spacing, tilt: tilt * spacing, step };
  const slope = (w * to - t * o) / det;
  const level = (o - slope * t) / w;
  return { offset: (level - half) * spacing, tilt: (slope / (1 - 2 * END)) * spacing, step };
}

/** Squared length of each group's mean colour step at every offset, inside to outside: GROUPS × count. */
function groupSteps(raster: Raster, a: PointPx, b: PointPx, half: number, spacing: number): Float64Array {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const tx = (b[0] - a[0]) / length;
  const ty = (b[1] - a[1]) / length;
  const count = 2 * half + 1;
  // two more readings at both ends, for steps over two on either side
  const room = count + 4;
  const profile = new Float64Array(3 * room);
  const steps = new Float64Array(GROUPS * count);
  for (let g = 0; g < GROUPS; g++) {
    profile.fill(0);
    let inside = true;
    for (let k = 0; k < PER_GROUP && inside; k++) {
      const along = length * (END + ((1 - 2 * END) * (g + (k + 0.5) / PER_GROUP)) / GROUPS);
      const from = (-2 - half) * spacing;
      inside = addProfile(
        raster,
        a[0] + tx * along + ty * from,
        a[1] + ty * along - tx * from,
        ty * spacing,
        -tx * spacing,
        profile,
      );
    }
    if (inside) writeSteps(profile, count, steps, g * count);
  }
  return steps;
}

/** Adds the light read from (x, y) on in steps of (dx, dy); answers false when that leaves the photo. */
function addProfile(
  { width_px, height_px, data, profile: { decode } }: Raster,
  x: number,
  y: number,
  dx: number,
  dy: number,
  profile: Float64Array,
): boolean {
  const [red, green, blue] = decode;
  for (let i = 0; 3 * i < profile.length; i++) {
    const column = Math.floor(x + i * dx);
    const row = Math.floor(y + i * dy);
    if (column < 0 || row < 0 || column >= width_px || row >= height_px) return false;
    const at = 3 * (row * width_px + column);
    profile[3 * i] += red[data[at]];
    profile[3 * i + 1] += green[data[at + 1]];
    profile[3 * i + 2] += blue[data[at + 2]];
  }
  return true;
}

/** Squared steps of colour along a profile of summed light, from place `at` on. */
function writeSteps(profile: Float64Array, count: number, steps: Float64Array, at: number): void {
  for (let i = 0; i < profile.length; i++) profile[i] = rootLight(profile[i] / PER_GROUP);
  for (let i = 0; i < count; i++) {
    let square = 0;
    for (let c = 0; c < 3; c++) {
      const p = 3 * (i + 2) + c;
      const d = (profile[p + 3] + profile[p + 6] - profile[p - 3] - profile[p - 6]) / 2;
      square += d * d;
    }
    steps[at + i] = square;
  }
}
