/**
 * The line near a panel's side across which colour changes most: AssemblyScript, see README.md. What it is for stands in
 * `src/core/panel/outline/edges.ts`, which lays the memory out and calls it.
 */
import { hypot } from '../math';
import { at, behind, put } from '../numbers';
import { linear, photoHeight, photoWidth, placeOf } from '../photo-part';

export { missed, usePhoto } from '../photo-part';

/** Profiles read across a side, in groups whose steps are added as vectors: noise averages out, an edge does not. */
const GROUPS: i32 = 10;
const PER_GROUP: i32 = 12;
/** Share of a side left out at each end: corners are rounded. */
const END: f64 = 0.08;
/** Least step across an edge, root steps, over all groups. */
const SMALLEST_STEP: f64 = 0.6;

/** Places across the side. */
let count: i32 = 0;
/** Light summed over a group's profiles: three numbers a place, two more places at both ends, for steps over two on either side. */
let profile: usize = 0;
/** Squared length of each group's mean colour step at every place, inside to outside, and its root: GROUPS × count. */
let steps: usize = 0;
let lengths: usize = 0;
/** Roots of light, f32, at so many even steps. */
let roots: usize = 0;
let rootSteps: f64 = 0;

export function firstFree(): usize {
  return __heap_base;
}

/** Bytes that a search to so many places on either side works with. */
export function lineBytes(half: i32): i32 {
  const places = 2 * half + 1;
  return 8 * (3 * (places + 4) + 2 * GROUPS * places);
}

/** Takes over a table of roots of light 0–1, one more than it has steps and one to spare. */
export function useRoots(table: usize, tableSteps: i32): void {
  roots = table;
  rootSteps = <f64>tableSteps;
}

/**
 * The line across which colour changes most: over all offsets to so many places (`spacing` px apart) and tilts up to twice `most` places,
 * the mean over the groups of the length of their step. Writes to `out` how far outward of the side (a to b) it lies at its middle, how
 * much farther out at its end than its start (px), and its step. False where there is no edge.
 */
export function findLine(
  ax: f64,
  ay: f64,
  bx: f64,
  by: f64,
  half: i32,
  spacing: f64,
  most: i32,
  out: usize,
  work: usize,
): bool {
  count = 2 * half + 1;
  profile = work;
  steps = behind(profile, 3 * (count + 4));
  lengths = behind(steps, GROUPS * count);
  findSteps(ax, ay, bx, by, half, spacing);
  let best: f64 = -1;
  let offset = 0;
  let tilt = 0;
  for (let lean = -2 * most; lean <= 2 * most; lean++)
    for (let i = 0; i < count; i++) {
      // what lies near the expected place wins among equals
      const value = meanAlong(i, lean) * (1 - (0.25 * <f64>abs(i - half)) / <f64>(half + 1));
      if (value > best) {
        best = value;
        offset = i;
        tilt = lean;
      }
    }
  const step = meanAlong(offset, tilt);
  if (step < SMALLEST_STEP) return false;
  polish(offset, tilt, half, spacing, out);
  put(out, 2, step);
  return true;
}

function rounded(x: f64): i32 {
  return <i32>floor(x + 0.5);
}

/** Mean over the groups of the steps along a line, which leans by so many places from its start to its end. */
function meanAlong(offset: i32, lean: i32): f64 {
  let sum: f64 = 0;
  for (let g = 0; g < GROUPS; g++) {
    const i = rounded(<f64>offset + (<f64>lean * (<f64>g + 0.5)) / <f64>GROUPS - <f64>lean / 2);
    if (i >= 0 && i < count) sum += at(lengths, g * count + i);
  }
  return sum / <f64>GROUPS;
}

/** The line through each group's own peak near the found one, by least squares weighted by the groups' steps. */
function polish(offset: i32, tilt: i32, half: i32, spacing: f64, out: usize): void {
  let w: f64 = 0;
  let t: f64 = 0;
  let o: f64 = 0;
  let tt: f64 = 0;
  let to: f64 = 0;
  for (let g = 0; g < GROUPS; g++) {
    const place = (<f64>g + 0.5) / <f64>GROUPS - 0.5;
    const middle = rounded(<f64>offset + <f64>tilt * place);
    let mass: f64 = 0;
    let moment: f64 = 0;
    for (let i = max(0, middle - 2); i <= min(count - 1, middle + 2); i++) {
      const s = at(steps, g * count + i);
      mass += s;
      moment += s * <f64>i;
    }
    if (mass <= 0) continue;
    const weight = sqrt(mass);
    const peak = moment / mass;
    w += weight;
    t += weight * place;
    o += weight * peak;
    tt += weight * place * place;
    to += weight * place * peak;
  }
  const det = w * tt - t * t;
  if (det <= 1e-9) {
    put(out, 0, <f64>(offset - half) * spacing);
    put(out, 1, <f64>tilt * spacing);
    return;
  }
  const slope = (w * to - t * o) / det;
  const level = (o - slope * t) / w;
  put(out, 0, (level - <f64>half) * spacing);
  put(out, 1, (slope / (1 - 2 * END)) * spacing);
}

function findSteps(ax: f64, ay: f64, bx: f64, by: f64, half: i32, spacing: f64): void {
  const length = hypot(bx - ax, by - ay, 0);
  const tx = (bx - ax) / length;
  const ty = (by - ay) / length;
  const from = <f64>(-2 - half) * spacing;
  for (let g = 0; g < GROUPS; g++) {
    for (let i = 0; i < 3 * (count + 4); i++) put(profile, i, 0);
    let isInside = true;
    for (let k = 0; k < PER_GROUP && isInside; k++) {
      const group = <f64>g + (<f64>k + 0.5) / <f64>PER_GROUP;
      const along = length * (END + ((1 - 2 * END) * group) / <f64>GROUPS);
      isInside = addProfile(
        ax + tx * along + ty * from,
        ay + ty * along - tx * from,
        ty * spacing,
        -tx * spacing,
      );
    }
    writeSteps(g * count, isInside);
  }
}

/** Adds the light read from (x, y) on in steps of (dx, dy); false when that leaves the photo. */
function addProfile(x: f64, y: f64, dx: f64, dy: f64): bool {
  for (let i = 0; i < count + 4; i++) {
    const atX = floor(x + <f64>i * dx);
    const atY = floor(y + <f64>i * dy);
    if (!(atX >= 0 && atY >= 0 && atX < <f64>photoWidth && atY < <f64>photoHeight)) return false;
    const place = placeOf(<i32>atX, <i32>atY);
    if (place < 0) return false;
    const to = behind(profile, 3 * i);
    put(to, 0, at(to, 0) + linear(0, place));
    put(to, 1, at(to, 1) + linear(1, place));
    put(to, 2, at(to, 2) + linear(2, place));
  }
  return true;
}

/** Squared steps of colour along a group's profile, and their roots, from place `first` on; none where it left the photo. */
function writeSteps(first: i32, isInside: bool): void {
  if (isInside)
    for (let i = 0; i < 3 * (count + 4); i++) put(profile, i, rootLight(at(profile, i) / <f64>PER_GROUP));
  for (let i = 0; i < count; i++) {
    let square: f64 = 0;
    if (isInside)
      for (let c = 0; c < 3; c++) {
        const p = 3 * (i + 2) + c;
        const d = (at(profile, p + 3) + at(profile, p + 6) - at(profile, p - 3) - at(profile, p - 6)) / 2;
        square += d * d;
      }
    put(steps, first + i, square);
    put(lengths, first + i, sqrt(square));
  }
}

function rootLight(light: f64): f64 {
  const place = rootSteps * max(0, min(1, light));
  const from = floor(place);
  const entry = roots + 4 * <usize>from;
  const low = <f64>load<f32>(entry);
  return low + (place - from) * (<f64>load<f32>(entry, 4) - low);
}
