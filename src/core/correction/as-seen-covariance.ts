/** How colours as seen err together, and whether the photos of one thing can all be right. */
import { cholesky, choleskySolve } from '../math/linear.ts';
import type { Row } from './as-seen-rows.ts';
import type { PhotoCorrection } from './correct-photo.ts';
import { mayBeOnePaint } from './paint.ts';
import { predictMisfits } from './residual-field.ts';
import { besideSpectra, type Sighting } from './sightings.ts';
import { SPREAD } from './spread.ts';

/** A thing whose photos cannot both be right of its colour. */
export interface Contradiction {
  readonly thing: number;
  readonly between: readonly [number, number];
}

/** 99.9 % point of χ² with 3 degrees of freedom. */
const CONTRADICTS = 16.27;
/** Standard deviation per Lab axis that a colour told in another photo's light has for itself. */
const RETOLD = 0.15;

/** Factor on a linear file's unknowns, for kinds of light and cameras other than those learned from. */
const LIGHT_SPREAD = 1.15;
/** Share of what three channels cannot tell that one thing's colours in two lights have in common where their readings agree. */
const SAME_ACROSS_LIGHTS = 0.75;

/** Covariance of rows, 3n × 3n. */
export function covarianceOf(
  rows: readonly Row[],
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
): Float64Array {
  const n = 3 * rows.length;
  const out = new Float64Array(n * n);
  const bends = bendCovariances(rows, corrections, sightings);
  rows.forEach((r, i) => {
    for (let j = 0; j <= i; j++) {
      const block = blockOf(r, rows[j], corrections, sightings, bends(i, j));
      if (i === j) {
        const foreign = r.light !== 'white' && r.light !== sightings[r.sighting].photo;
        for (let a = 0; a < 3; a++) block[4 * a] += (foreign ? RETOLD : SPREAD.floor / 2) ** 2;
      }
      for (let a = 0; a < 3; a++)
        for (let b = 0; b < 3; b++) {
          out[(3 * i + a) * n + 3 * j + b] = block[3 * a + b];
          out[(3 * j + b) * n + 3 * i + a] = block[3 * a + b];
        }
    }
  });
  return out;
}

function blockOf(
  r: Row,
  s: Row,
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
  bend: number,
): Float64Array {
  const a = sightings[r.sighting];
  const b = sightings[s.sighting];
  const out = new Float64Array(9);
  for (const [photo, f] of r.unknowns) {
    const g = s.unknowns.get(photo);
    if (g) addProduct(out, f, g, spreadOf(corrections[photo]) ** 2);
  }
  const share = shareOf(a, b);
  if (share > 0) {
    const light = r.light === s.light ? 1 : SAME_ACROSS_LIGHTS;
    const spread = untoldSpreadOf(a, corrections[a.photo]) * untoldSpreadOf(b, corrections[b.photo]);
    addProduct(out, r.metamerism, s.metamerism, spread * share * light);
  }
  if (a.photo === b.photo) {
    out[0] += bend;
    out[4] += bend;
    out[8] += bend;
  }
  if (r.sighting === s.sighting) {
    addProduct(out, r.noise, s.noise, 1);
    for (let k = 0; k < 9; k += 4) out[k] += SPREAD.floor ** 2;
  }
  return out;
}

function untoldSpreadOf({ make }: Sighting, { photo: { fit } }: PhotoCorrection): number {
  return besideSpectra(fit) * SPREAD.metamerismAsSeen[make ?? 'film'];
}

/**
 * Share of what three channels cannot tell that two sightings have in common. Paints of other tints have none: two that
 * look alike here may part in any other light, and a share would both hide that and move one panel by what another shows.
 */
function shareOf(a: Sighting, b: Sighting): number {
  if (a.thing === b.thing) return 1;
  return mayBeOnePaint(a, b) ? SPREAD.shared.asSeen : 0;
}

/** out += scale · F·Gᵀ; a longer factor's further columns are what the shorter one has none of. */
function addProduct(out: Float64Array, f: Float64Array, g: Float64Array, scale: number): void {
  const m = f.length / 3;
  const k = g.length / 3;
  const shared = Math.min(m, k);
  for (let a = 0; a < 3; a++)
    for (let b = 0; b < 3; b++) {
      let s = 0;
      for (let i = 0; i < shared; i++) s += f[a * m + i] * g[b * k + i];
      out[3 * a + b] += scale * s;
    }
}

function spreadOf({ photo: { fit } }: PhotoCorrection): number {
  return fit.model.hasCurve ? SPREAD.parameters.withResponseAsSeen : LIGHT_SPREAD;
}

/** What is left of the photo's own bend of colours, shared by rows of one photo. */
function bendCovariances(
  rows: readonly Row[],
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
): (i: number, j: number) => number {
  const at = new Map<number, number>();
  const bends = corrections.map((c, photo) => {
    const here = [...new Set(rows.map((r) => r.sighting))].filter((s) => sightings[s].photo === photo);
    here.forEach((s, k) => {
      at.set(s, k);
    });
    const labs = here.map((s) => rows.find((r) => r.sighting === s)!.lab);
    return { count: here.length, ...predictMisfits(c.residualField, labs) };
  });
  return (i, j) => {
    const [p, q] = [rows[i].sighting, rows[j].sighting];
    const { photo } = sightings[p];
    if (photo !== sightings[q].photo) return 0;
    return bends[photo].covariance[at.get(p)! * bends[photo].count + at.get(q)!];
  };
}

/** Things whose photos tell colours under the card's white that are further apart than they may be. */
export function contradictions(
  rows: readonly Row[],
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
): readonly Contradiction[] {
  const plain = rows.filter((r) => r.light === 'white');
  const found: Contradiction[] = [];
  plain.forEach((r, i) => {
    for (const s of plain.slice(0, i)) {
      const [a, b] = [sightings[s.sighting], sightings[r.sighting]];
      if (a.thing !== b.thing || a.photo === b.photo) continue;
      const pair = [s, r];
      const c = covarianceOf(pair, corrections, sightings);
      const d = Float64Array.from(r.lab, (v, k) => v - s.lab[k]);
      const between = new Float64Array(9);
      for (let p = 0; p < 3; p++)
        for (let q = 0; q < 3; q++)
          between[3 * p + q] = c[6 * p + q] + c[6 * (p + 3) + q + 3] - c[6 * p + q + 3] - c[6 * (p + 3) + q];
      const distance = choleskySolve(cholesky(between, 3, 1e-6), 3, d.slice()).reduce(
        (t, v, k) => t + v * d[k],
        0,
      );
      if (distance > CONTRADICTS) found.push({ thing: a.thing, between: [a.photo, b.photo] });
    }
  });
  return found;
}

export function believed(
  row: Row,
  sightings: readonly Sighting[],
  contradicted: readonly Contradiction[],
): boolean {
  const { thing, photo } = sightings[row.sighting];
  if (!contradicted.some((c) => c.thing === thing)) return true;
  if (row.light !== 'white') return row.light === photo;
  return row.sighting === sightings.findIndex((s) => s.thing === thing);
}
