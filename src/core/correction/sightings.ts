/** Things sighted in photos: their Lab through each photo's correction, and what all of them have in common. */
import type { Lab } from '../color/index.ts';
import { innerProduct } from '../math/linear.ts';
import { type PhotoCorrection, thingOf } from './correct-photo.ts';
import { type Estimate, estimate } from './estimate.ts';
import type { Fit } from './fit-model.ts';
import type { Paint } from './paint.ts';
import type { ThingRead } from './read-through.ts';
import { predictMisfits } from './residual-field.ts';
import { type PrintFactor, printFactor, sharedCovariance } from './shared-print.ts';
import { SPREAD } from './spread.ts';
import type { PanelReading } from './types.ts';

/** One reading of a thing, in one of the photos. */
export interface Sighting extends Paint {
  /** Index of the thing, and of the photo's correction. */
  readonly thing: number;
  readonly photo: number;
  readonly reading: PanelReading;
}

interface SightedFactor {
  readonly row: number;
  readonly columns: number;
  readonly factor: Float64Array;
  /** Factor on its standard deviations. */
  readonly spread: number;
  /** Every channel tells something of it: none is empty or full. */
  readonly isWhole: boolean;
}

/** A sighting as its photo's correction takes it. */
export function sightedThing({ reading, make }: Sighting, correction: PhotoCorrection): ThingRead {
  const thing = thingOf(reading.reading, reading.at_mm, correction.candidate, correction.size_mm);
  return { ...thing, ...(make && { make }), ...(reading.veil && { veil: reading.veil }) };
}

/** Writes the Lab of each sighting, and the covariance of them all (the first rows of 3 · `rows`). */
export function addSightings(
  covariance: Float64Array,
  labs: Lab[],
  rows: number,
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
): void {
  const factors: SightedFactor[] = [];
  const prints: SightedPrint[] = [];
  corrections.forEach((correction, photo) => {
    const rowOf = sightings.flatMap((s, row) => (s.photo === photo ? [row] : []));
    if (rowOf.length === 0) return;
    const e = estimate(
      correction.photo,
      rowOf.map((row) => sightedThing(sightings[row], correction)),
    );
    const bend = predictMisfits(correction.residualField, e.labs);
    rowOf.forEach((row, p) => {
      const b = bend.means[p];
      labs[row] = [e.labs[p][0] + b[0], e.labs[p][1] + b[1], e.labs[p][2] + b[2]];
      const columns = e.metamerism.columns;
      const factor = e.metamerism.factor.subarray(3 * p * columns, 3 * (p + 1) * columns);
      const spread = untoldSpreadOf(correction, sightings[row]);
      factors.push({ row, columns, factor, spread, isWhole: e.whole[p] });
    });
    const spread = spreadOf(correction);
    addPhotoCovariance(covariance, rows, rowOf, e, bend.covariance, spread);
    if (corrections.length > 1)
      prints.push({ rowOf, spread, print: printFactor(correction.photo.fit, e.parameters.factor) });
  });
  addSharedPrint(covariance, rows, prints);
  addSharedMetamerism(covariance, rows, factors, sightings);
}

interface SightedPrint {
  readonly rowOf: readonly number[];
  readonly spread: number;
  readonly print: PrintFactor;
}

/** Photos of one card err alike by its print. */
function addSharedPrint(covariance: Float64Array, rows: number, photos: readonly SightedPrint[]): void {
  photos.forEach((one, k) => {
    for (const other of photos.slice(0, k)) {
      const shared = sharedCovariance(one.print, other.print);
      if (!shared) continue;
      const stretch = one.spread * other.spread;
      const m = 3 * other.rowOf.length;
      for (let i = 0; i < 3 * one.rowOf.length; i++)
        for (let j = 0; j < m; j++) {
          const row = 3 * one.rowOf[Math.floor(i / 3)] + (i % 3);
          const column = 3 * other.rowOf[Math.floor(j / 3)] + (j % 3);
          const s = stretch * shared[i * m + j];
          covariance[row * 3 * rows + column] += s;
          covariance[column * 3 * rows + row] += s;
        }
    }
  });
}

/** Factor on the unknowns' standard deviations. */
function spreadOf({ photo: { fit } }: PhotoCorrection): number {
  const { linear, withResponse, besideAnyPrint } = SPREAD.parameters;
  if (!fit.model.hasCurve) return linear;
  return fit.isCardMeasured ? withResponse : besideAnyPrint;
}

/** Factor on the standard deviations of what three channels cannot tell. */
function untoldSpreadOf({ photo: { fit } }: PhotoCorrection, { make }: Sighting): number {
  const { linear, withResponse } = SPREAD.metamerism[make ?? 'film'];
  return besideSpectra(fit) * (fit.model.hasCurve ? withResponse : linear);
}

/** Factor on that where the card's spectra are guesses. */
export function besideSpectra({ patches }: Fit): number {
  return SPREAD.metamerismBySpectra[patches[0]?.source ?? 'lab'];
}

function addPhotoCovariance(
  covariance: Float64Array,
  rows: number,
  rowOf: readonly number[],
  e: Estimate,
  bend: Float64Array,
  spread: number,
): void {
  const n = rowOf.length;
  const stretch = spread ** 2;
  for (let p = 0; p < n; p++)
    for (let q = 0; q < n; q++)
      for (let a = 0; a < 3; a++)
        for (let b = 0; b < 3; b++) {
          let s = stretch * rowsInner(e.parameters, 3 * p + a, 3 * q + b);
          if (a === b) s += bend[p * n + q];
          if (p === q) {
            s += e.noise[9 * p + 3 * a + b];
            if (a === b) s += SPREAD.floor ** 2;
          }
          covariance[(3 * rowOf[p] + a) * 3 * rows + 3 * rowOf[q] + b] += s;
        }
}

/** Inner product of two rows of a factor. */
function rowsInner({ columns, factor }: Estimate['parameters'], a: number, b: number): number {
  return innerProduct(factor, a * columns, factor, b * columns, columns);
}

function addSharedMetamerism(
  covariance: Float64Array,
  rows: number,
  factors: readonly SightedFactor[],
  sightings: readonly Sighting[],
): void {
  for (const f of factors)
    for (const g of factors) {
      const shared = f.spread * g.spread * shareOf(f, g, sightings);
      const columns = Math.min(f.columns, g.columns);
      for (let a = 0; a < 3; a++)
        for (let b = 0; b < 3; b++)
          covariance[(3 * f.row + a) * 3 * rows + 3 * g.row + b] +=
            shared * innerProduct(f.factor, a * f.columns, g.factor, b * g.columns, columns);
    }
}

/** Share of what three channels cannot tell that two sightings have in common where their readings agree. */
function shareOf(f: SightedFactor, g: SightedFactor, sightings: readonly Sighting[]): number {
  const [a, b] = [sightings[f.row], sightings[g.row]];
  const { madeOfOne, notNoted, inGroup, acrossGroups, whereLost } = SPREAD.shared;
  const isSame = a.thing === b.thing;
  if (isSame && f.isWhole === g.isWhole) return 1;
  const lost = (f.isWhole ? 1 : whereLost) * (g.isWhole ? 1 : whereLost);
  if (isSame) return lost;
  if (a.group !== b.group) return acrossGroups * lost;
  if (a.madeOf !== b.madeOf) return inGroup * lost;
  return (a.madeOf === undefined ? notNoted : madeOfOne) * lost;
}
