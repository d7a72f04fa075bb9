import { cholesky, choleskySolve, invert3, type Mat3, type Vec3 } from '../../math/linear.ts';
import type { PointMm, PointPx } from '../../photo/types.ts';
import { applyHomography } from '../homography.ts';
import type { Curl } from '../types.ts';
import { cornersMm, homographyOf, type SeenMarker } from './agree.ts';

/** Where the plane of a card lies in a photo. */
export interface Placing {
  readonly toPx: (mm: PointMm) => PointPx;
  readonly toMm: (px: PointPx) => PointMm;
  /** Root-mean-square distance of the marker corners from the placing, px. */
  readonly residual_px: number;
  /** Displacement by the lens at half the picture's diagonal from its middle, as a part of that length; 0 mostly. */
  readonly bow: number;
  /** How the card bends out of its plane; undefined where it lies flat, or where that can't be told. */
  readonly curl?: Curl;
}

/** Standard deviations: of a corner (px), of the tags' growth on all sides (mm), of the lens bow (relative), of curl (1/mm). */
const CORNER_PX = 0.06;
const GROWTH_MM = 0.15;
const BOW = 0.04;
const CURL = 5e-4;

/** Unknowns: eight of the homography, growth of the squares (mm), bow, three of the curl (1/mm). */
const UNKNOWNS = 13;
const SPREAD: Readonly<Record<number, number>> = { 8: GROWTH_MM, 9: BOW, 10: CURL, 11: CURL, 12: CURL };

/** Focal length in half diagonals of the picture: a phone's main lens (26 mm beside a diagonal of 43 mm). */
const FOCAL = 1.2;
/** Flat cards leave their corners .02 to .1 px off on sharp photos, and curl takes a tenth of that off. */
const CURL_SEEN = { least_px: 0.1, left: 0.5 } as const;

/**
 * Places the card by its tags' corners: homography, growth of all dark squares by the same mm on every side (ink that
 * spreads, a tone curve that moves edges), and one radial lens term when the corners call for it. Where they call for a curl it is
 * told; the place stays that of a flat card.
 */
export function placeByMarkers(seen: readonly SeenMarker[], width_px: number, height_px: number): Placing {
  const frame = { cx: width_px / 2, cy: height_px / 2, radius: Math.hypot(width_px, height_px) / 2 };
  const straight = solved(seen, frame, seen.length > 1 ? [8] : []);
  const bowed = seen.length >= 3 ? solved(seen, frame, [8, 9]) : straight;
  // one more unknown takes a fifth off the misfit of sixteen corners by chance in one photo of some hundreds
  const callsForBow = straight.residual_px > 0.02 && bowed.residual_px < 0.8 * straight.residual_px;
  const curl = seen.length >= 4 ? curlBeyond(bowed, seen, frame) : undefined;
  return { ...placingOf(callsForBow ? bowed : straight, frame), ...(curl && { curl }) };
}

/** The curl that takes most of what corners leave of a flat card's place; undefined where they leave little, or it does not. */
function curlBeyond(flat: Solved, seen: readonly SeenMarker[], frame: Frame): Curl | undefined {
  if (flat.residual_px < CURL_SEEN.least_px) return undefined;
  const curled = solved(seen, frame, [8, 9, 10, 11, 12]);
  if (!(curled.residual_px < CURL_SEEN.left * flat.residual_px)) return undefined;
  const [xx, xy, yy] = curled.p.subarray(10);
  return { xx, xy, yy };
}

interface Frame {
  readonly cx: number;
  readonly cy: number;
  readonly radius: number;
}

/** The unknowns that fit the corners best, and how far these are off then, px. */
interface Solved {
  readonly p: Float64Array;
  readonly residual_px: number;
}

/** Solves for the homography and some `others` of the unknowns. */
function solved(seen: readonly SeenMarker[], frame: Frame, others: readonly number[]): Solved {
  const start = homographyOf(seen);
  const p = new Float64Array(UNKNOWNS);
  p.set(start.slice(0, 8));
  const free = [...Array(8).keys(), ...others];
  const count = 8 * seen.length;
  // steps for numeric derivatives: each moves a corner by about a thousandth of a pixel to a pixel
  const steps = Float64Array.from(p, (v, i) =>
    i < 8 ? Math.max(1e-9, Math.abs(v) * 1e-6) : i < 10 ? 1e-4 : 1e-7,
  );
  for (let round = 0; round < 8; round++) {
    const residual = residuals(p, seen, frame);
    const weight = robustWeights(residual);
    const columns = free.map((u) => {
      const moved = p.slice();
      moved[u] += steps[u];
      const there = residuals(moved, seen, frame);
      return there.map((v, i) => (v - residual[i]) / steps[u]);
    });
    const change = solveStep(columns, residual, weight, free, p, count);
    if (!change) break;
    free.forEach((u, i) => {
      p[u] += change[i];
    });
  }
  const residual = residuals(p, seen, frame);
  return { p, residual_px: Math.sqrt(residual.reduce((sum, r) => sum + r * r, 0) / (count / 2)) };
}

/** Gauss–Newton step with the priors of growth, bow and curl; columns scaled so that the normal matrix is well behaved. */
function solveStep(
  columns: readonly Float64Array[],
  residual: Float64Array,
  weight: Float64Array,
  free: readonly number[],
  p: Float64Array,
  count: number,
): Float64Array | undefined {
  const n = free.length;
  const scale = Float64Array.from(
    columns,
    (c) => 1 / Math.max(1e-30, Math.sqrt(c.reduce((s, v) => s + v * v, 0))),
  );
  const normal = new Float64Array(n * n);
  const right = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = 0; k < count; k++) sum += weight[k] * columns[i][k] * columns[j][k];
      normal[i * n + j] = sum * scale[i] * scale[j];
    }
    for (let k = 0; k < count; k++) right[i] -= weight[k] * columns[i][k] * residual[k] * scale[i];
    const spread = SPREAD[free[i]];
    if (spread === undefined) continue;
    const precision = (CORNER_PX / spread) ** 2;
    normal[i * n + i] += precision * scale[i] * scale[i];
    right[i] -= precision * p[free[i]] * scale[i];
  }
  try {
    const change = choleskySolve(cholesky(normal, n, 1e-13), n, right);
    return change.map((v, i) => v * scale[i]);
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

/** Huber weights, one for both coordinates of a corner. */
function robustWeights(residual: Float64Array): Float64Array {
  const length = Float64Array.from({ length: residual.length / 2 }, (_, i) =>
    Math.hypot(residual[2 * i], residual[2 * i + 1]),
  );
  const limit = Math.max(0.25, 2.5 * length.slice().sort()[length.length >> 1]);
  return residual.map((_, i) => Math.min(1, limit / Math.max(1e-12, length[i >> 1])));
}

/** Predicted minus seen corners, px. */
function residuals(p: Float64Array, seen: readonly SeenMarker[], frame: Frame): Float64Array {
  const seenAt = seenOf(p, seen, frame);
  const out = new Float64Array(8 * seen.length);
  seen.forEach(({ marker, corners }, tag) => {
    const mm = cornersMm(marker);
    const cx = (mm[0] + mm[2] + mm[4] + mm[6]) / 4;
    const cy = (mm[1] + mm[3] + mm[5] + mm[7]) / 4;
    const grown = 1 + p[8] / (Math.hypot(mm[0] - cx, mm[1] - cy) * Math.SQRT1_2);
    for (let i = 0; i < 4; i++) {
      const [x, y] = seenAt(cx + (mm[2 * i] - cx) * grown, cy + (mm[2 * i + 1] - cy) * grown);
      const [bx, by] = bent(x, y, p[9], frame);
      out[8 * tag + 2 * i] = bx - corners[2 * i];
      out[8 * tag + 2 * i + 1] = by - corners[2 * i + 1];
    }
  });
  return out;
}

/**
 * Where places of a curled card are seen. Out of its plane a place moves along what the plane's normal is in the photo, which
 * a homography tells when the focal length is known (Zhang, IEEE Trans. PAMI 22, 2000).
 */
function seenOf(
  p: Float64Array,
  seen: readonly SeenMarker[],
  { cx, cy, radius }: Frame,
): (x: number, y: number) => PointPx {
  const h = homographyPart(p);
  const [xx, xy, yy] = p.subarray(10);
  if (xx === 0 && xy === 0 && yy === 0) return (x, y) => applyHomography(h, x, y);
  const f = FOCAL * radius;
  const ray = (k: number): Vec3 => [(h[k] - cx * h[6 + k]) / f, (h[3 + k] - cy * h[6 + k]) / f, h[6 + k]];
  const [right, down] = [ray(0), ray(1)];
  const scale = 0.5 * (Math.hypot(...right) + Math.hypot(...down));
  const [a, b, c] = [1, 2, 0].map((i, k) => {
    const j = [2, 0, 1][k];
    return (right[i] * down[j] - right[j] * down[i]) / scale;
  });
  const normal = [f * a + cx * c, f * b + cy * c, c];
  const [mx, my] = middleOf(seen);
  return (x, y) => {
    const z = xx * (x - mx) ** 2 + xy * (x - mx) * (y - my) + yy * (y - my) ** 2;
    const [u, v, w] = [0, 1, 2].map((k) => h[3 * k] * x + h[3 * k + 1] * y + h[3 * k + 2] + normal[k] * z);
    return [u / w, v / w];
  };
}

/** Middle of some markers, mm. */
function middleOf(seen: readonly SeenMarker[]): PointMm {
  const mean = (axis: 0 | 1): number =>
    seen.reduce(
      (sum, { marker }) => sum + marker.corners_mm.reduce((s, corner) => s + corner[axis], 0) / 4,
      0,
    ) / seen.length;
  return [mean(0), mean(1)];
}

function homographyPart(p: Float64Array): Mat3 {
  return [p[0], p[1], p[2], p[3], p[4], p[5], p[6], p[7], 1];
}

/** One radial term about the middle of the picture: r → r (1 + bow · (r / radius)²). */
function bent(x: number, y: number, bow: number, { cx, cy, radius }: Frame): PointPx {
  const dx = x - cx;
  const dy = y - cy;
  const factor = 1 + bow * ((dx * dx + dy * dy) / (radius * radius));
  return [cx + dx * factor, cy + dy * factor];
}

function straightened(x: number, y: number, bow: number, { cx, cy, radius }: Frame): PointPx {
  const dx = x - cx;
  const dy = y - cy;
  let factor = 1;
  for (let i = 0; i < 12; i++)
    factor = 1 / (1 + bow * factor * factor * ((dx * dx + dy * dy) / (radius * radius)));
  return [cx + dx * factor, cy + dy * factor];
}

function placingOf({ p, residual_px }: Solved, frame: Frame): Placing {
  const bow = p[9];
  const h = homographyPart(p);
  const back = invert3(h);
  return {
    toPx: ([x, y]) => bent(...applyHomography(h, x, y), bow, frame),
    toMm: ([x, y]) => applyHomography(back, ...straightened(x, y, bow, frame)),
    residual_px,
    bow,
  };
}
