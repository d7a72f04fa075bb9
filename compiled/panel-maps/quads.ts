/** Quadrilaterals, by their perspective or their sides in map pixels, held against the maps. */
import { hypot } from '../math';
import { at, behind, put, sort } from '../numbers';
import { between, CARD, COVERED, EDGE, OBJECT, PANEL, pixelAt, valueAt } from './maps';

// a place in a quadrilateral, by the perspective x = (a u + b v + c) / (g u + h v + 1), y = (d u + e v + f) / (g u + h v + 1): a to h

let placeX: f64 = 0;
let placeY: f64 = 0;

function findPlace(perspective: usize, u: f64, v: f64): void {
  const w = at(perspective, 6) * u + at(perspective, 7) * v + 1;
  placeX = (at(perspective, 0) * u + at(perspective, 1) * v + at(perspective, 2)) / w;
  placeY = (at(perspective, 3) * u + at(perspective, 4) * v + at(perspective, 5)) / w;
}

// how well a quadrilateral explains the maps: see `score.ts`

const INSIDE: i32 = 18;
const ALONG: i32 = 20;
/** Looked at inside: all but this share at the rim. */
const RIM: f64 = 0.12;
/** An edge may lie so many map pixels off the outline. */
const SLACK: f64 = 1;
/** So many map pixels within a side no edge is left: there is one where the side lies on the next panel's edge. */
const CLEAR: f64 = 2.3;
/** How much of a side's worth hangs on that. */
const CLEAR_SHARE: f64 = 0.6;

/** How much of the inside is panel without an edge; −1 when nearly all of it is covered. */
export function insideShare(perspective: usize): f64 {
  let inside: f64 = 0;
  let places = 0;
  for (let i = 0; i < INSIDE; i++)
    for (let j = 0; j < INSIDE; j++) {
      findPlace(perspective, rim(i), rim(j));
      const p = pixelAt(placeX, placeY);
      if (p < 0 || valueAt(OBJECT, p) > COVERED) continue;
      places++;
      inside += valueAt(PANEL, p) * (1 - min(1, 2 * valueAt(EDGE, p))) * (1 - valueAt(CARD, p));
    }
  return <f64>places < 0.15 * <f64>(INSIDE * INSIDE) ? -1 : inside / <f64>places;
}

function rim(k: i32): f64 {
  return RIM + ((1 - 2 * RIM) * (<f64>k + 0.5)) / <f64>INSIDE;
}

/** Mean of the strongest edge within the slack along a side, less where there is edge farther in; −1 when nearly all of it is covered. */
export function sideShare(ax: f64, ay: f64, bx: f64, by: f64): f64 {
  const length = hypot(bx - ax, by - ay, 0);
  const nx = (by - ay) / length;
  const ny = (ax - bx) / length;
  let sum: f64 = 0;
  let places = 0;
  for (let k = 0; k < ALONG; k++) {
    const t = 0.06 + (0.88 * (<f64>k + 0.5)) / <f64>ALONG;
    const x = ax + t * (bx - ax);
    const y = ay + t * (by - ay);
    let strongest: f64 = 0;
    let isCovered = false;
    for (let s = -SLACK; s <= SLACK; s += 0.5) {
      const p = pixelAt(x + nx * s, y + ny * s);
      if (p < 0) continue;
      // a hit off the outline counts for less
      strongest = max(strongest, valueAt(EDGE, p) * (1 - 0.25 * abs(s)));
      if (valueAt(OBJECT, p) > COVERED) isCovered = true;
    }
    if (isCovered) continue;
    const within = pixelAt(x + nx * CLEAR, y + ny * CLEAR);
    const clear = within < 0 ? 0 : min(1, 1.2 * valueAt(PANEL, within) * (1 - valueAt(EDGE, within)));
    sum += strongest * (1 - CLEAR_SHARE + CLEAR_SHARE * clear);
    places++;
  }
  return <f64>places < 0.2 * <f64>ALONG ? -1 : sum / <f64>places;
}

// lines of edge across a quadrilateral: see `part-quads.ts`

const LINE_ALONG: i32 = 64;
const LINE_ACROSS: i32 = 24;
/** Share of the quadrilateral left out at its rim, which is edge itself. */
const LINE_RIM: f64 = 0.14;

/** Mean edge along each of 64 lines at a constant u (or v), and behind them in the weakest third of each. */
export function lineProfile(perspective: usize, alongU: bool, profile: usize): void {
  const weakest = behind(profile, LINE_ALONG);
  const perThird = LINE_ACROSS / 3;
  for (let i = 0; i < LINE_ALONG; i++) {
    const t = (<f64>i + 0.5) / <f64>LINE_ALONG;
    let all: f64 = 0;
    let least = Infinity;
    for (let third = 0; third < 3; third++) {
      let sum: f64 = 0;
      for (let j = third * perThird; j < (third + 1) * perThird; j++) {
        const s = LINE_RIM / 2 + ((1 - LINE_RIM) * (<f64>j + 0.5)) / <f64>LINE_ACROSS;
        findPlace(perspective, alongU ? t : s, alongU ? s : t);
        const p = pixelAt(placeX, placeY);
        if (p >= 0) sum += (3 * valueAt(EDGE, p)) / <f64>LINE_ACROSS;
      }
      all += sum;
      least = min(least, sum);
    }
    put(profile, i, all / 3);
    put(weakest, i, least);
  }
}

// a side on a ridge of the edge map: see `map-edges.ts`

const PLACES: i32 = 28;
/** Share of a side left out at each end, where the next side's ridge joins. */
const END: f64 = 0.1;
const REACH: f64 = 3;
const STEP: f64 = 0.5;
/** Least summed probability across a ridge. */
const LEAST_MASS: f64 = 0.8;

/** Bytes that laying a side works with. */
export function ridgeBytes(): i32 {
  return 8 * 4 * PLACES;
}

/**
 * The line through a ridge's middle near a side (a to b), without places farther from it than `farthest` in the end: how far outward it
 * lies at the side's middle, and how much farther at its end than its start, to `out`. False where there is no ridge.
 */
export function findRidge(ax: f64, ay: f64, bx: f64, by: f64, farthest: f64, out: usize, work: usize): bool {
  const length = hypot(bx - ax, by - ay, 0);
  const tx = (bx - ax) / length;
  const ty = (by - ay) / length;
  const offsets = behind(work, PLACES);
  const weights = behind(offsets, PLACES);
  const sorted = behind(weights, PLACES);
  let found = 0;
  for (let k = 0; k < PLACES; k++) {
    const place = END + ((1 - 2 * END) * (<f64>k + 0.5)) / <f64>PLACES - 0.5;
    const x = ax + tx * (place + 0.5) * length;
    const y = ay + ty * (place + 0.5) * length;
    let mass: f64 = 0;
    let moment: f64 = 0;
    let covered: f64 = 0;
    for (let s = -REACH; s <= REACH; s += STEP) {
      const edge = between(EDGE, x + ty * s, y - tx * s);
      covered = max(covered, between(OBJECT, x + ty * s, y - tx * s));
      mass += edge * edge * STEP;
      moment += edge * edge * s * STEP;
    }
    // an object's own outline would be taken for the panel's
    if (!(covered < COVERED && mass >= LEAST_MASS * STEP)) continue;
    put(work, found, place);
    put(offsets, found, moment / mass);
    put(weights, found, min(1, mass));
    found++;
  }
  if (found < PLACES / 4) return false;
  memory.copy(sorted, offsets, 8 * found);
  sort(sorted, found);
  let level = at(sorted, found >> 1);
  let slope: f64 = 0;
  for (let round = 0; round < 4; round++) {
    let w: f64 = 0;
    let t: f64 = 0;
    let o: f64 = 0;
    let tt: f64 = 0;
    let to: f64 = 0;
    for (let i = 0; i < found; i++) {
      const place = at(work, i);
      const off = abs(at(offsets, i) - level - slope * place) / farthest;
      if (off >= 1) continue;
      const near = 1 - off * off;
      const own = at(weights, i) * (near * near);
      w += own;
      t += own * place;
      o += own * at(offsets, i);
      tt += own * place * place;
      to += own * place * at(offsets, i);
    }
    const det = w * tt - t * t;
    if (!(det > 1e-3 * w * w)) {
      if (round === 0) return false;
      break;
    }
    slope = (w * to - t * o) / det;
    level = (o - slope * t) / w;
  }
  put(out, 0, level);
  put(out, 1, slope);
  return true;
}
