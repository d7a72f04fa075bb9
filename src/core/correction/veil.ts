/**
 * Soft light mirrored all over a panel, as a bright wall or a window gives it in a clear coat: it adds white, and most
 * of it where the panel looks palest. A panel whose paint runs thinner towards one side looks alike, so neither is taken
 * for certain.
 */
import { deltaE2000, type Lab, viewing } from '../color/index.ts';
import { cholesky, choleskySolve, type Vec3 } from '../math/linear.ts';
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
 * Standard deviations across a panel: of white light over it, as reflectance, and of colour that the light itself changes by, as a
 * share, at the least. Common practice, no source.
 */
const USUAL_VEIL = 0.015;
const USUAL_DRIFT = 0.004;
/** Less of what turns a panel paler than this is likelier the light's own colour. */
const LIKELIER = 0.5;

/**
 * The veil that a panel's cells tell of, or undefined. What turns a cell's light from the panel's own mean towards white has to
 * change smoothly across the panel, as no flake and no noise does; and it counts for white only as far as it goes beyond what
 * the light's own colour may change by there, for which white is hardly told from a tint on a panel that is nearly grey.
 */
export function veilOver(correction: PhotoCorrection, cells: readonly PlacedCell[]): Veil | undefined {
  if (cells.length < FEWEST_CELLS) return undefined;
  const { photo, candidate, size_mm } = correction;
  const { fit } = photo;
  const things = cells.map(({ reading, at_mm }) => thingOf(reading, at_mm, candidate, size_mm));
  const light = things.map((thing) => relativeReading(fit, fit.theta, thing));
  if (!things.every((thing, i) => isWhole(thing, light[i]))) return undefined;
  const mean = [0, 1, 2].map((c) => meanOf(light.map((q) => q[c])));
  const turns = turnsOf(mean);
  const places = cells.map(({ reading }) => reading.centre_px);
  const [paler, aside] = [turns.paler, turns.aside].map((turn) => smoothSurface(light.map(turn), places));
  if (!(paler.sureness >= SURELY_SMOOTH)) return undefined;
  const drift = Math.max(USUAL_DRIFT, scatterOf(aside.surface));
  const told = (turns.byWhite * USUAL_VEIL) ** 2;
  const share = told / (told + drift ** 2);
  if (share < LIKELIER) return undefined;
  const white = (share / turns.byWhite) * Math.min(...paler.surface);
  const labOf = (q: readonly number[]): Lab => labThrough(photo.map.polynomial, q, viewing(photo.white));
  const de00 = deltaE2000(labOf(mean), labOf(mean.map((v) => v + white)));
  if (!(de00 >= LEAST_DE00)) return undefined;
  return { light: -white, de00, palest: towardsPalest(cells, paler.surface) };
}

/** How a light's colour differs from a panel's mean, each as a share of the mean, dark channels weighed as the eye does. */
interface Turns {
  /** Towards white. */
  readonly paler: (light: readonly number[]) => number;
  /** In the direction that neither white nor more of the mean turns it. */
  readonly aside: (light: readonly number[]) => number;
  /** By how much white, as reflectance, turns it: hardly at all where the panel is as good as grey. */
  readonly byWhite: number;
}

function turnsOf(mean: readonly number[]): Turns {
  const root = mean.map((v) => v ** (-2 / 3));
  const weigh = (q: readonly number[]): Vec3 => [root[0] * q[0], root[1] * q[1], root[2] * q[2]];
  const along = unit(weigh(mean));
  const white = weigh([1, 1, 1]);
  const share = dot3(white, along);
  const across: Vec3 = [
    white[0] - share * along[0],
    white[1] - share * along[1],
    white[2] - share * along[2],
  ];
  const towards = unit(across);
  const aside = cross(along, towards);
  const turnBy = (way: Vec3) => (light: readonly number[]) => {
    const q = weigh(light);
    return dot3(q, way) / dot3(q, along);
  };
  return {
    paler: turnBy(towards),
    aside: turnBy(aside),
    byWhite: Math.hypot(...across) / Math.hypot(...weigh(mean)),
  };
}

const dot3 = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

function unit(v: Vec3): Vec3 {
  const length = Math.max(Math.hypot(...v), 1e-12);
  return [v[0] / length, v[1] / length, v[2] / length];
}

const meanOf = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

function scatterOf(values: readonly number[]): number {
  const middle = meanOf(values);
  return Math.sqrt(meanOf(values.map((v) => (v - middle) ** 2)));
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
    const along = places.map((p) => p[axis]);
    const [middle, scatter] = [meanOf(along), scatterOf(along)];
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
