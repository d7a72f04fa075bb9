/** Measures a whole job: every panel and the target, from all their face photos and instrument readings together. */

import type { CardDefinition } from '../card/types.ts';
import { type Lab, viewing } from '../color/index.ts';
import {
  type Disagreement,
  type LabEnsemble,
  readColours,
  type Sighting,
  type StatedColour,
} from '../correction/index.ts';
import { sourceOf, statedUncertainty } from '../correction/stated.ts';
import { SprayoutError, type Warning } from '../errors.ts';
import type { Job, Measured } from '../job/index.ts';
import { overlapWarnings } from '../panel/index.ts';
import type { Raster } from '../photo/types.ts';
import { cardWarnings } from './card-warnings.ts';
import { disagreementWords } from './disagreement.ts';
import type { SampledPanelInPhoto } from './photo.ts';
import type { ReadCard } from './read-card.ts';
import { type ReadPhoto, readWholePhoto } from './read-photo.ts';
import { type JobThing, thingsOf } from './things.ts';

export interface JobColours {
  /** Panels in the job's order, then `target` where there is one. */
  readonly colours: LabEnsemble;
  /** Photos each thing was measured from, where there are any. */
  readonly joined_from: ReadonlyMap<string, readonly string[]>;
  /** By id, what makes a thing's colour less sure. */
  readonly doubts: ReadonlyMap<string, string>;
  readonly warnings: readonly Warning[];
}

/**
 * Measures the things of a job that have a measurement. `photos` holds those in which something has a place.
 * Throws SprayoutError when a photo or a place can't be measured, or when nothing is measured at all.
 */
export function measureJob(
  job: Job,
  photos: ReadonlyMap<string, { readonly raster: Raster; readonly card?: CardDefinition }>,
): JobColours {
  checkWhite(job.white);
  needMeasured(job);
  const read = new Map<string, ReadPhoto>();
  for (const photo of job.photos) {
    const taken = photos.get(photo.id);
    if (taken && photo.view !== 'flop') read.set(photo.id, readWholePhoto(job, photo, taken));
  }
  return joinJob(job, read);
}

/**
 * Joins what was read in a job's photos, and what instruments told, to one colour for each thing. Needs no pixels.
 * Places that could not be read, and flop photos, are passed over. Throws SprayoutError when nothing is measured, or
 * when a card's white is not the job's.
 */
export function joinJob(job: Job, photos: ReadonlyMap<string, ReadPhoto>): JobColours {
  checkWhite(job.white);
  const views = viewsOf(job);
  const photoIds = job.photos.map((p) => p.id).filter((id) => photos.has(id) && views.get(id) !== 'flop');
  const warnings: Warning[] = [];
  for (const id of photoIds) {
    checkCard(id, job, photos.get(id)!.card, warnings);
    warnings.push(...overlapWarnings(photos.get(id)!.places, ` in photo ${id}`));
  }
  const readings = readingsOf(job, photos, photoIds);
  const things = thingsOf(job).filter(({ id }) => readings.some((r) => r.id === id));
  if (things.length === 0) throw nothingMeasured(job);
  const sightings: Sighting[] = [];
  const stated: StatedColour[] = [];
  const joined = new Map<string, string[]>();
  things.forEach(({ id, paint }, thing) => {
    for (const reading of readings.filter((r) => r.id === id)) {
      if ('stated' in reading) stated.push({ thing, ...reading.stated });
      else {
        const { photo, sampled } = reading;
        warnings.push(
          ...sampled.warnings.map((w) => ({ ...w, message: `${w.message} (photo ${photoIds[photo]})` })),
        );
        sightings.push({ thing, photo, ...paint, reading: sampled.sighted });
        joined.set(id, [...(joined.get(id) ?? []), photoIds[photo]]);
      }
    }
  });
  const read = readColours(
    job.white,
    things.map((t) => t.id),
    photoIds.map((id) => photos.get(id)!.card.correction),
    sightings,
    stated,
  );
  const doubts = doubtsOf(read.disagreements, things, photoIds, warnings);
  return { colours: read.ensemble, joined_from: joined, doubts, warnings };
}

type ThingReading =
  | { readonly id: string; readonly stated: Omit<StatedColour, 'thing'> }
  | { readonly id: string; readonly photo: number; readonly sampled: SampledPanelInPhoto };

/** Every reading of the job's things that counts, stated or seen, in the job's order. */
function readingsOf(
  job: Job,
  photos: ReadonlyMap<string, ReadPhoto>,
  photoIds: readonly string[],
): ThingReading[] {
  const views = viewsOf(job);
  return thingsOf(job).flatMap(({ id, measured }) => {
    const out: ThingReading[] = [];
    const seen = new Map<string, number>();
    for (const m of measured) {
      if (!counts(m, views)) continue;
      const source = sourceOf(m);
      if ('lab' in m)
        out.push({
          id,
          stated: {
            lab: m.lab as Lab,
            u: statedUncertainty(m),
            ...(source !== undefined && { source }),
          },
        });
      if (!m.corners_px || m.photo === undefined) continue;
      // one thing may have several places in one photo; they are read in the order they are listed
      const nth = seen.get(m.photo) ?? 0;
      seen.set(m.photo, nth + 1);
      const places = photos.get(m.photo)?.places.filter((p) => p.id === id);
      const sampled = places?.[nth]?.sampled;
      const photo = photoIds.indexOf(m.photo);
      if (sampled && photo >= 0) out.push({ id, photo, sampled });
    }
    return out;
  });
}

function nothingMeasured(job: Job): SprayoutError {
  const views = viewsOf(job);
  const readings = thingsOf(job).flatMap((t) => t.measured);
  if (readings.length > 0 && !readings.some((m) => counts(m, views)))
    return new SprayoutError(
      'not-enough-panels',
      'Everything measured in this job is seen from the side: its photos are all marked "view": "flop".',
      'Add a photo taken square from above, or mark the one that is as "view": "face".',
    );
  return new SprayoutError(
    'not-enough-panels',
    'Nothing in this job has been measured yet.',
    'Add a photo with the panels’ corners, or Lab values from an instrument.',
  );
}

function needMeasured(job: Job): void {
  const views = viewsOf(job);
  if (!thingsOf(job).some((t) => t.measured.some((m) => counts(m, views)))) throw nothingMeasured(job);
}

const viewsOf = (job: Job): ReadonlyMap<string, string> => new Map(job.photos.map((p) => [p.id, p.view]));

function checkWhite(white: string): void {
  try {
    viewing(white);
  } catch {
    throw new SprayoutError(
      'job-invalid',
      `The job's white ${JSON.stringify(white)} is unknown.`,
      'Use "D50/2".',
    );
  }
}

/** Flop photos never join a face reading. */
function counts(m: Measured, views: ReadonlyMap<string, string>): boolean {
  return m.photo === undefined || views.get(m.photo) !== 'flop';
}

/** Warnings of what the card is, whichever photo shows it: said once. */
const OF_THE_CARD: readonly string[] = ['card-nominal', 'card-brightened'];

function checkCard(id: string, job: Job, read: ReadCard, warnings: Warning[]): void {
  if (read.correction.photo.white !== job.white)
    throw new SprayoutError(
      'job-invalid',
      `Photo ${id}'s card states its colours for ${read.correction.photo.white}, the job for ${job.white}.`,
      'Use one white throughout.',
    );
  for (const w of cardWarnings(read)) {
    const isOfCard = OF_THE_CARD.includes(w.code);
    if (isOfCard && warnings.some((had) => had.code === w.code)) continue;
    warnings.push(isOfCard ? w : { ...w, message: `Photo ${id}: ${w.message}` });
  }
}

function doubtsOf(
  disagreements: readonly Disagreement[],
  things: readonly JobThing[],
  photoIds: readonly string[],
  warnings: Warning[],
): Map<string, string> {
  const doubts = new Map<string, string>();
  for (const { thing, between } of disagreements) {
    const { id } = things[thing];
    if (doubts.has(id)) continue;
    const { doubt, warning } = disagreementWords(id, between, photoIds);
    doubts.set(id, doubt);
    warnings.push(warning);
  }
  return doubts;
}
