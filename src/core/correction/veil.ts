/**
 * Soft light mirrored all over a panel, as a bright wall or a window gives it in a clear coat: it adds white, and most
 * of it where the panel looks palest. A panel whose paint runs thinner towards one side looks alike, so neither is taken
 * for certain.
 */
import { deltaE2000, type Lab, viewing } from '../color/index.ts';
import { cholesky, choleskySolve } from '../math/linear.ts';
import type { PointMm, PointPx, Reading } from '../photo/types.ts';
import { type PhotoCorrection, thingOf } from './correct-photo.ts';
import { isWhole, labThrough, relativeReading } from './read-through.ts';

/** White light that may lie over a panel. */
export interface Veil {
  /** How much more of it the panel's mean holds than its clearest part, as a share of what a perfect white sends. */
  readonly light: number;
  /** What the mean looks like more than the clearest part, ΔE2000. */
  readonly de00: number;
  /** From the panel's middle to where it is palest: a unit vector in the photo. */
  readonly palest: PointPx;
}

/** A cell of a panel, and where it lies on the card's plane. */
export interface PlacedCell {
  readonly reading: Reading;
  readonly at_mm: PointMm;
}

/** Terms of the surface that is laid through the cells' veils, and fewest cells it is laid through. */
const TERMS = 6;
const FEWEST_CELLS = 12;
/**
 * How many times the surface's part of the variance must be what it leaves. Flakes, noise and slow clouds of 433 rendered panels
 * without a veil reached it 3 times, of 229 with one 122 did.
 */
const SURELY_SMOOTH = 20;
/** Veils that move a colour by less, ΔE2000, are none. */
const LEAST_DE00 = 0.5;

/**
 * The veil that a panel's cells tell of, or undefined. Each cell's light is split into a multiple of the panel's own mean
 * and white added; what is added has to change smoothly across the panel, as no flake and no noise does.
 */
export function veilOver(correction: PhotoCorrection, cells: readonly PlacedCell[]): Veil | undefined {
  if (cells.length < FEWEST_CELLS) return undefined;
  const { photo, candidate, size_mm } = correction;
  const { fit } = photo;
  const things = cells.map(({ reading, at_mm }) => thingOf(reading, at_mm, candidate, size_mm));
  const light = things.map((thing) => relativeReading(fit, fit.theta, thing));
  if (!things.every((thing, i) => isWhole(thing, light[i]))) return undefined;
  const mean = [0, 1, 2].map((c) => light.reduce((sum, q) => sum + q[c], 0) / light.length);
  const added = light.map((q) => whiteAdded(q, mean));
  const { surface, sureness } = smoothSurface(
    added,
    cells.map(({ reading }) => reading.centre_px),
  );
  if (!(sureness >= SURELY_SMOOTH)) return undefined;
  const clearest = Math.min(...surface);
  const labOf = (q: readonly number[]): Lab => labThrough(photo.map.polynomial, q, viewing(photo.white));
  const de00 = deltaE2000(labOf(mean), labOf(mean.map((v) => v + clearest)));
  if (!(de00 >= LEAST_DE00)) return undefined;
  return { light: -clearest, de00, palest: towardsPalest(cells, surface) };
}

/** White in `q` besides a multiple of `mean`, over that multiple: least squares, dark channels weighed as the eye does. */
function whiteAdded(q: readonly number[], mean: readonly number[]): number {
  const sums = [0, 0, 0, 0, 0];
  for (let c = 0; c < 3; c++) {
    const weight = mean[c] ** (-4 / 3);
    sums[0] += weight * mean[c] * mean[c];
    sums[1] += weight * mean[c];
    sums[2] += weight;
    sums[3] += weight * mean[c] * q[c];
    sums[4] += weight * q[c];
  }
  const [mm, m, one, mq, q1] = sums;
  return (q1 * mm - mq * m) / (mq * one - q1 * m);
}

/** A quadratic surface through values at places: what it is at each, and its variance over that of what it leaves (Fisher's F). */
function smoothSurface(
  values: readonly number[],
  places: readonly PointPx[],
): { readonly surface: readonly number[]; readonly sureness: number } {
  const rows = standardised(places).map(([u, v]) => [1, u, v, u * u, u * v, v * v]);
  const normal = new Float64Array(TERMS * TERMS);
  const right = new Float64Array(TERMS);
  rows.forEach((row, i) => {
    for (let a = 0; a < TERMS; a++) {
      right[a] += row[a] * values[i];
      for (let b = 0; b < TERMS; b++) normal[a * TERMS + b] += row[a] * row[b];
    }
  });
  const terms = choleskySolve(cholesky(normal, TERMS, 1e-9), TERMS, right);
  const surface = rows.map((row) => row.reduce((sum, v, a) => sum + v * terms[a], 0));
  const middle = surface.reduce((sum, v) => sum + v, 0) / surface.length;
  const told = surface.reduce((sum, v) => sum + (v - middle) ** 2, 0) / (TERMS - 1);
  const left = surface.reduce((sum, v, i) => sum + (v - values[i]) ** 2, 0) / (values.length - TERMS);
  return { surface, sureness: told / left };
}

/** Places about their middle, in units of their scatter along each axis. */
function standardised(places: readonly PointPx[]): PointPx[] {
  const [x, y] = [0, 1].map((axis) => {
    const middle = places.reduce((sum, p) => sum + p[axis], 0) / places.length;
    const scatter = Math.sqrt(places.reduce((sum, p) => sum + (p[axis] - middle) ** 2, 0) / places.length);
    return (p: PointPx): number => (p[axis] - middle) / Math.max(scatter, 1e-9);
  });
  return places.map((p) => [x(p), y(p)]);
}

/** Unit vector from the cells' middle to that of their veil. */
function towardsPalest(cells: readonly PlacedCell[], surface: readonly number[]): PointPx {
  const least = Math.min(...surface);
  const pull = [0, 1].map((axis) =>
    cells.reduce((sum, { reading }, i) => sum + reading.centre_px[axis] * (surface[i] - least), 0),
  );
  const weight = surface.reduce((sum, v) => sum + v - least, 0);
  const middle = [0, 1].map(
    (axis) => cells.reduce((sum, { reading }) => sum + reading.centre_px[axis], 0) / cells.length,
  );
  const [x, y] = pull.map((p, axis) => p / weight - middle[axis]);
  const length = Math.max(Math.hypot(x, y), 1e-9);
  return [x / length, y / length];
}
