/** Correction: what camera and light did to the colours of a photo, learned from the card in it, and undone. */
import { type Lab, type LightColour, lightColour, viewing, type WhiteName } from '../color/index.ts';
import type { Vec3 } from '../math/linear.ts';
import type { Reading } from '../photo/types.ts';
import { leaveOneOut } from './check.ts';
import { type Estimate, estimate, type FittedPhoto, fittedPhoto, patchAsThing } from './estimate.ts';
import { expectedReading, type Fit, type FitPatch, fitCard, sensitivitiesOf } from './fit.ts';
import { drawEnsemble, joinObservations } from './joint.ts';
import { fieldPoint } from './light-field.ts';
import { patchSpectrum } from './patch-spectra.ts';
import { type PixelCandidate, type PixelSource, pixelCandidates } from './pixel-model.ts';
import { type CorrectionPrior, SHIPPED_PRIOR } from './prior.ts';
import { labThrough, relativeReading, type ThingRead } from './read-through.ts';
import {
  chooseResidualField,
  type PatchMisfit,
  predictMisfits,
  type ResidualField,
} from './residual-field.ts';
import { encodeSrgb, usableChannels } from './response.ts';
import { neighbourhood } from './seen-panels.ts';
import { SPREAD } from './spread.ts';
import type { CardCheck, LabEnsemble, PanelReading, PatchReading } from './types.ts';

export { type CorrectionPrior, correctionPrior } from './prior.ts';
export type * from './types.ts';

export interface CorrectionOptions {
  readonly white: WhiteName;
  /** Size of the main card; positions are in its plane. */
  readonly size_mm: readonly [number, number];
  readonly pixels: PixelSource;
  /** Ids of patches not to be used. */
  readonly leaveOut?: readonly string[];
  readonly prior?: CorrectionPrior;
}

/** The correction of one photo. */
export interface PhotoCorrection {
  readonly photo: FittedPhoto;
  readonly candidate: PixelCandidate;
  readonly size_mm: readonly [number, number];
  readonly misfits: readonly PatchMisfit[];
  readonly residualField: ResidualField;
  readonly check: CardCheck;
  readonly light: LightColour;
}

/** Fits a photo's correction to its card patches (those of strips included, positions in the main card's plane). */
export function correctPhoto(patches: readonly PatchReading[], options: CorrectionOptions): PhotoCorrection {
  const prior = options.prior ?? SHIPPED_PRIOR;
  const out = new Set(options.leaveOut ?? []);
  const used = patches.filter((p) => !out.has(p.patch.id));
  let best: { fit: Fit; candidate: PixelCandidate } | undefined;
  for (const candidate of pixelCandidates(options.pixels)) {
    const fit = fitCard(
      used.map((p) => fitPatch(p, candidate, options)),
      candidate.model,
      prior,
    );
    if (!best || fit.logEvidence > best.fit.logEvidence) best = { fit, candidate };
  }
  const { fit, candidate } = best!;
  const photo = fittedPhoto(fit, options.white);
  const misfits = patchMisfits(photo);
  const residualField = chooseResidualField(misfits);
  const unread = fit.patches.filter((p) => !p.usable.some(Boolean)).map((p) => p.id);
  return {
    photo,
    candidate,
    size_mm: options.size_mm,
    misfits,
    residualField,
    check: leaveOneOut(photo, misfits, residualField, [...out, ...unread]),
    light: lightOf(fit),
  };
}

function encodedOf(linear: Vec3): Vec3 {
  return linear.map(encodeSrgb) as unknown as Vec3;
}

function thingOf(
  reading: Reading,
  at_mm: readonly [number, number],
  candidate: PixelCandidate,
  size_mm: readonly [number, number],
): ThingRead {
  const linear = candidate.linearOf(reading);
  // a linear file holds true values down to its noise: only a full or an empty channel is lost
  const encoded = candidate.model.hasCurve
    ? encodedOf(reading.linear)
    : (linear.map((l) => (l >= 0.985 ? 1 : l > 2e-4 ? 0.5 : 0)) as unknown as Vec3);
  return {
    linear,
    noise: candidate.noiseOf(reading),
    usable: usableChannels(encoded, reading.clippedHigh, reading.clippedLow),
    at: fieldPoint(at_mm, size_mm),
  };
}

function fitPatch(p: PatchReading, candidate: PixelCandidate, options: CorrectionOptions): FitPatch {
  const spectrum = patchSpectrum(p.patch, options.white);
  return {
    id: p.patch.id,
    neutral: p.patch.role === 'neutral',
    u: p.patch.u,
    lab: spectrum.lab,
    reflectance: spectrum.reflectance,
    printModes: spectrum.printModes,
    ...thingOf(p.reading, p.at_mm, candidate, options.size_mm),
  };
}

/**
 * What the photo did to each patch that the fit does not explain: the colour of the reading the patch ought to
 * have given, less that of the reading it gave. Both go through the map, so that metamerism stays out of it.
 */
function patchMisfits(photo: FittedPhoto): PatchMisfit[] {
  const { fit, map, white } = photo;
  const under = viewing(white);
  const e = sensitivitiesOf(fit, fit.theta);
  return fit.patches
    .filter((p) => p.usable.every(Boolean))
    .map((p) => {
      const q = relativeReading(fit, fit.theta, patchAsThing(p));
      const near = neighbourhood(map, q);
      const read = labThrough(map.polynomial, q, near, under);
      const expected = labThrough(map.polynomial, expectedReading(e, p.reflectance), near, under);
      return {
        id: p.id,
        lab: read,
        misfit: [expected[0] - read[0], expected[1] - read[1], expected[2] - read[2]] as Lab,
        noise: Math.hypot(READING_NOISE, p.u),
      };
    });
}

/** Standard deviation per axis that a patch's misfit holds besides the photo's bend and the print's own doubt. */
const READING_NOISE = 0.7;

/** The light's colour, as far as the fitted sensitivities tell it. */
function lightOf(fit: Fit): LightColour {
  const s = fit.prior[fit.model.sensitivity];
  const ratio = [0, 1].map((k) => {
    let r = s.lightMean[k];
    s.lightSlopes.forEach((slope, m) => {
      r += slope[k] * fit.theta[fit.layout.sensitivity + m];
    });
    return Math.exp(r);
  });
  const sum = ratio[0] + 1 + ratio[1];
  return lightColour({ x: ratio[0] / sum, y: 1 / sum });
}

/** One reading of a thing, in one of the photos. */
export interface Sighting {
  /** Index of the thing, and of the photo's correction. */
  readonly thing: number;
  readonly photo: number;
  readonly reading: PanelReading;
  /** Things of one group are of the same tints: they share what three channels cannot tell. */
  readonly group?: string;
}

/** A thing's colour from an instrument. */
export interface KnownColour {
  readonly thing: number;
  readonly lab: Lab;
  readonly u: number;
}

export interface ReadColours {
  readonly ensemble: LabEnsemble;
  readonly u95: readonly Vec3[];
  /** Squared Mahalanobis distance per degree of freedom by which sightings of the same things disagree. */
  readonly disagreement: number;
}

/**
 * Reads things through the corrections of their photos, all at once: one thing in several photos is joined,
 * known things pull their like along, and what they share cancels in differences.
 */
export function readColours(
  ids: readonly string[],
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
  known: readonly KnownColour[] = [],
): ReadColours {
  const white = corrections[0].photo.white;
  const rows = sightings.map((s, row) => ({ s, row }));
  const m = sightings.length + known.length;
  const covariance = new Float64Array(9 * m * m);
  const labs: Lab[] = new Array(m);
  const factors: { row: number; factor: Float64Array; columns: number }[] = [];
  corrections.forEach((correction, photo) => {
    const here = rows.filter(({ s }) => s.photo === photo);
    if (here.length === 0) return;
    const e = estimate(
      correction.photo,
      here.map(({ s }) =>
        thingOf(s.reading.reading, s.reading.at_mm, correction.candidate, correction.size_mm),
      ),
    );
    const rowOf = here.map(({ row }) => row);
    const bend = predictMisfits(correction.residualField, correction.misfits, e.labs);
    rowOf.forEach((row, p) => {
      const b = bend.means[p];
      labs[row] = [e.labs[p][0] + b[0], e.labs[p][1] + b[1], e.labs[p][2] + b[2]];
      const columns = e.metamerism.columns;
      factors.push({
        row,
        columns,
        factor: e.metamerism.factor.subarray(3 * p * columns, 3 * (p + 1) * columns),
      });
    });
    addPhotoCovariance(covariance, m, rowOf, e, bend.covariance);
  });
  addSharedMetamerism(covariance, m, factors, sightings);
  known.forEach((k, i) => {
    const row = sightings.length + i;
    labs[row] = k.lab;
    // an instrument's u is spread over three axes; Lab units here are taken as ΔE units at low chroma
    for (let a = 0; a < 3; a++)
      covariance[(3 * row + a) * 3 * m + 3 * row + a] = Math.max(k.u, 0.05) ** 2 / 3;
  });
  const things = [...sightings.map((s) => s.thing), ...known.map((k) => k.thing)];
  const joint = joinObservations(ids.length, { things, labs, covariance });
  const n = 3 * ids.length;
  return {
    ensemble: drawEnsemble(white, ids, joint.labs, joint.covariance),
    u95: ids.map(
      (_, i) =>
        [0, 1, 2].map((a) => 1.96 * Math.sqrt(joint.covariance[(3 * i + a) * (n + 1)])) as unknown as Vec3,
    ),
    disagreement: joint.freedom > 0 ? joint.misfit / joint.freedom : 0,
  };
}

function addPhotoCovariance(
  covariance: Float64Array,
  m: number,
  rowOf: readonly number[],
  e: Estimate,
  bend: Float64Array,
): void {
  const { columns, factor } = e.parameters;
  const n = rowOf.length;
  const stretch = SPREAD.parameters ** 2;
  for (let p = 0; p < n; p++)
    for (let q = 0; q < n; q++)
      for (let a = 0; a < 3; a++)
        for (let b = 0; b < 3; b++) {
          let s = 0;
          const i = (3 * p + a) * columns;
          const j = (3 * q + b) * columns;
          for (let k = 0; k < columns; k++) s += factor[i + k] * factor[j + k];
          s *= stretch;
          if (a === b) s += bend[p * n + q];
          if (p === q) {
            s += e.noise[9 * p + 3 * a + b];
            if (a === b) s += SPREAD.floor ** 2;
          }
          covariance[(3 * rowOf[p] + a) * 3 * m + 3 * rowOf[q] + b] += s;
        }
}

function addSharedMetamerism(
  covariance: Float64Array,
  m: number,
  factors: readonly { row: number; factor: Float64Array; columns: number }[],
  sightings: readonly Sighting[],
): void {
  const stretch = SPREAD.metamerism ** 2;
  for (const f of factors)
    for (const g of factors) {
      const same = sightings[f.row].thing === sightings[g.row].thing;
      const alike = sightings[f.row].group === sightings[g.row].group;
      const shared = same ? 1 : alike ? SPREAD.sharedInGroup : SPREAD.sharedAcrossGroups;
      for (let a = 0; a < 3; a++)
        for (let b = 0; b < 3; b++) {
          let s = 0;
          const i = a * f.columns;
          const j = b * g.columns;
          for (let k = 0; k < f.columns; k++) s += f.factor[i + k] * g.factor[j + k];
          covariance[(3 * f.row + a) * 3 * m + 3 * g.row + b] += shared * stretch * s;
        }
    }
}
