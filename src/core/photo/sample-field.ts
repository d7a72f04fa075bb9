import { FEWEST_TILE_PIXELS, medianOf, rankOf, type Tiles } from './sample-tiles.ts';

/** How light falls across an area: linear light goes as exp(alongU·u + alongV·v). */
export interface FallOff {
  readonly alongU: number;
  readonly alongV: number;
}

/** Light that does not fall off. */
export const LEVEL: FallOff = { alongU: 0, alongV: 0 };
/** Share of the tiles the plane must explain: as much as 40 % may be glare or spots. */
const KEPT_SHARE = 0.6;
/** ln of the steepest fall-off believed across an area. */
const STEEPEST = 1.2;
/** Channels with a median below this root value are at the floor and say nothing of the light. */
const FLOOR_ROOT = 8;
/** Concentration steps tried from every start, and in all from the best. */
const FIRST_STEPS = 2;
const ALL_STEPS = 8;

/** Places and, per channel, ln of linear light and 1 / variance of its scatter; one entry a tile. */
interface Logs {
  readonly count: number;
  readonly u: Float64Array;
  readonly v: Float64Array;
  readonly ln: readonly Float64Array[];
  readonly weight: readonly number[];
}

interface Plane extends FallOff {
  readonly level: Float64Array;
}

/**
 * The plane of log light through all of an area's tiles, when none of them leaves it by more than `within` root
 * steps in any channel: then there is no glare or shadow to look for, and no more to do. Else undefined.
 */
export function evenFallOff(tiles: Tiles, within: number): FallOff | undefined {
  const logs = logsOf(tiles);
  if (logs.count < 9 || logs.ln.length < 3) return undefined;
  const plane = fitPlane(
    logs,
    logs.u.map(() => 1),
  );
  for (let c = 0; c < 3; c++) {
    // a step of d in the logarithm of light is one of root·d/3 in its root
    const limit = (3 * within) / (100 * Math.exp(plane.level[c] / 3));
    for (let i = 0; i < logs.count; i++) {
      const d = logs.ln[c][i] - plane.level[c] - plane.alongU * logs.u[i] - plane.alongV * logs.v[i];
      if (Math.abs(d) > limit) return undefined;
    }
  }
  return plane;
}

/**
 * The plane of log light shared by the three channels that fits the best 60 % of an area's tiles: least trimmed
 * squares by concentration steps (Rousseeuw and Van Driessen 2006) from the whole area and each of its halves.
 */
export function fitFallOff(tiles: Tiles): FallOff {
  const logs = logsOf(tiles);
  if (logs.count < 9 || logs.ln.length === 0) return LEVEL;
  const { u, v } = logs;
  const starts = [u.map(() => 1), u.map(left), u.map(right), v.map(left), v.map(right)];
  let best: Concentrated = { members: starts[0], misfit: Number.POSITIVE_INFINITY };
  for (const start of starts) {
    const found = concentrate(logs, start, FIRST_STEPS);
    if (found.misfit < best.misfit * (1 - 1e-9)) best = found;
  }
  return fitPlane(logs, concentrate(logs, best.members, ALL_STEPS).members);
}

const left = (place: number): number => (place < 0 ? 1 : 0);
const right = (place: number): number => (place < 0 ? 0 : 1);

function logsOf(tiles: Tiles): Logs {
  const used = new Uint16Array(tiles.count);
  let count = 0;
  for (let t = 0; t < tiles.count; t++) if (tiles.pixels[t] >= FEWEST_TILE_PIXELS) used[count++] = t;
  const pick = (of: Float64Array): Float64Array => {
    const picked = new Float64Array(count);
    for (let i = 0; i < count; i++) picked[i] = of[used[i]];
    return picked;
  };
  const ln: Float64Array[] = [];
  const weight: number[] = [];
  for (const root of tiles.root) {
    const values = pick(root);
    if (medianOf(values) < FLOOR_ROOT) continue;
    // a tenth of a root step keeps the logarithm of black finite
    for (let i = 0; i < count; i++) values[i] = 3 * Math.log(Math.max(0.1, values[i]) / 100);
    const middle = medianOf(values);
    const off = new Float64Array(count);
    for (let i = 0; i < count; i++) off[i] = Math.abs(values[i] - middle);
    const scatter = 1.4826 * medianOf(off);
    ln.push(values);
    weight.push(1 / (scatter * scatter + 1e-5));
  }
  return { count, u: pick(tiles.u), v: pick(tiles.v), ln, weight };
}

interface Concentrated {
  readonly members: Float64Array;
  readonly misfit: number;
}

/** Fits the members (1 in, 0 out), takes the best-fitting 60 % as members, and so on while the misfit falls. */
function concentrate(logs: Logs, start: Float64Array, steps: number): Concentrated {
  const { count } = logs;
  const keep = Math.ceil(KEPT_SHARE * count);
  const misfits = new Float64Array(count);
  let members = start;
  let misfit = Number.POSITIVE_INFINITY;
  for (let step = 0; step < steps; step++) {
    misfitsOf(logs, fitPlane(logs, members), misfits);
    const limit = rankOf(misfits.slice(), count, keep - 1);
    const next = new Float64Array(count);
    let total = 0;
    for (let i = 0; i < count; i++)
      if (misfits[i] <= limit) {
        total += misfits[i];
        next[i] = 1;
      }
    if (total >= misfit * (1 - 1e-6)) break;
    misfit = total;
    members = next;
  }
  return { members, misfit };
}

function misfitsOf(logs: Logs, plane: Plane, out: Float64Array): void {
  out.fill(0);
  logs.ln.forEach((ln, c) => {
    for (let i = 0; i < logs.count; i++) {
      const d = ln[i] - plane.level[c] - plane.alongU * logs.u[i] - plane.alongV * logs.v[i];
      out[i] += logs.weight[c] * d * d;
    }
  });
}

/** Least squares of slopes shared by the channels and a level for each. */
function fitPlane(logs: Logs, members: Float64Array): Plane {
  const { count, u, v } = logs;
  let n = 0;
  let mu = 0;
  let mv = 0;
  for (let i = 0; i < count; i++) {
    n += members[i];
    mu += members[i] * u[i];
    mv += members[i] * v[i];
  }
  mu /= Math.max(1, n);
  mv /= Math.max(1, n);
  let uu = 0;
  let uv = 0;
  let vv = 0;
  for (let i = 0; i < count; i++) {
    const du = members[i] * (u[i] - mu);
    const dv = members[i] * (v[i] - mv);
    uu += du * du;
    uv += du * dv;
    vv += dv * dv;
  }
  let ul = 0;
  let vl = 0;
  let weights = 0;
  const means = logs.ln.map((ln, c) => {
    let mean = 0;
    let du = 0;
    let dv = 0;
    for (let i = 0; i < count; i++) {
      const value = members[i] * ln[i];
      mean += value;
      du += (u[i] - mu) * value;
      dv += (v[i] - mv) * value;
    }
    ul += logs.weight[c] * du;
    vl += logs.weight[c] * dv;
    weights += logs.weight[c];
    return mean / Math.max(1, n);
  });
  const det = uu * vv - uv * uv;
  const solvable = n >= 4 && det > 1e-12;
  const alongU = solvable ? bounded((vv * ul - uv * vl) / det / weights) : 0;
  const alongV = solvable ? bounded((uu * vl - uv * ul) / det / weights) : 0;
  return { alongU, alongV, level: Float64Array.from(means, (mean) => mean - alongU * mu - alongV * mv) };
}

function bounded(slope: number): number {
  return Math.max(-STEEPEST, Math.min(STEEPEST, slope));
}
