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
import { SprayoutError, type Warning } from '../errors.ts';
import { type Job, type JobPanel, type Measured, TARGET_ID } from '../job/index.ts';
import { checkPanels } from '../panel/index.ts';
import type { Raster } from '../photo/types.ts';
import { cardWarnings } from './card-warnings.ts';
import { disagreementWords } from './disagreement.ts';
import { sampledPanel } from './photo.ts';
import { type ReadCard, readCard } from './read-card.ts';

export interface JobColours {
  /** Panels in the job's order, then `target` where there is one. */
  readonly colours: LabEnsemble;
  /** Photos each thing was measured from, where there are any. */
  readonly joined_from: ReadonlyMap<string, readonly string[]>;
  /** By id, what makes a thing's colour less sure. */
  readonly doubts: ReadonlyMap<string, string>;
  readonly warnings: readonly Warning[];
}

/** Standard uncertainty of a stated colour that names none: a good instrument on a metallic panel. */
const DEFAULT_U = 0.5;

interface Thing {
  readonly id: string;
  readonly group: string;
  readonly measured: readonly Measured[];
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
  const views = new Map(job.photos.map((p) => [p.id, p.view]));
  const things = thingsOf(job).filter((t) => t.measured.some((m) => counts(m, views)));
  if (things.length === 0)
    throw new SprayoutError(
      'not-enough-panels',
      'Nothing in this job has been measured yet.',
      'Add a photo with the panels’ corners, or Lab values from an instrument.',
    );
  const photoIds = [...photos.keys()].filter((id) => views.get(id) !== 'flop');
  const warnings: Warning[] = [];
  const cards = photoIds.map((id) => cardOf(id, job, photos.get(id)!, warnings));
  const sightings: Sighting[] = [];
  const stated: StatedColour[] = [];
  const joined = new Map<string, string[]>();
  things.forEach(({ id, group, measured }, thing) => {
    for (const m of measured) {
      if (!counts(m, views)) continue;
      if ('lab' in m)
        stated.push({
          thing,
          lab: m.lab as Lab,
          u: m.u ?? DEFAULT_U,
          ...(m.photo !== undefined && !m.corners_px && { source: m.photo }),
        });
      const photo = photoIds.indexOf(m.photo ?? '');
      if (!m.corners_px || photo < 0) continue;
      const place = { id, corners_px: m.corners_px };
      const { raster } = photos.get(photoIds[photo])!;
      checkPanels([place], raster, cards[photo].placed);
      const sampled = sampledPanel(raster, place, cards[photo]);
      warnings.push(
        ...sampled.warnings.map((w) => ({ ...w, message: `${w.message} (photo ${photoIds[photo]})` })),
      );
      sightings.push({ thing, photo, group, reading: sampled.sighted });
      joined.set(id, [...(joined.get(id) ?? []), photoIds[photo]]);
    }
  });
  const read = readColours(
    job.white,
    things.map((t) => t.id),
    cards.map((c) => c.correction),
    sightings,
    stated,
  );
  const doubts = doubtsOf(read.disagreements, things, photoIds, warnings);
  return { colours: read.ensemble, joined_from: joined, doubts, warnings };
}

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

function thingsOf(job: Job): Thing[] {
  const things: Thing[] = job.panels.map((p) => ({ id: p.id, group: paintOf(p), measured: p.measured }));
  if (job.target) things.push({ id: TARGET_ID, group: TARGET_ID, measured: job.target.measured });
  return things;
}

/** Panels of the same tints share what three channels cannot tell; a bare ground shares it with other grounds. */
function paintOf({ coats, mix }: JobPanel): string {
  const tints = Object.entries(mix?.parts ?? {}).flatMap(([tint, parts]) => (parts > 0 ? [tint] : []));
  return coats === 0 || tints.length === 0 ? 'ground' : 'candy';
}

/** Flop photos never join a face reading. */
function counts(m: Measured, views: ReadonlyMap<string, string>): boolean {
  return m.photo === undefined || views.get(m.photo) !== 'flop';
}

function cardOf(
  id: string,
  job: Job,
  { raster, card }: { raster: Raster; card?: CardDefinition },
  warnings: Warning[],
): ReadCard {
  const read = readCard(raster, { card });
  if (read.correction.photo.white !== job.white)
    throw new SprayoutError(
      'job-invalid',
      `Photo ${id}'s card states its colours for ${read.correction.photo.white}, the job for ${job.white}.`,
      'Use one white throughout.',
    );
  for (const w of cardWarnings(read))
    if (!warnings.some((had) => had.code === w.code && w.code === 'card-nominal'))
      warnings.push(w.code === 'card-nominal' ? w : { ...w, message: `Photo ${id}: ${w.message}` });
  return read;
}

function doubtsOf(
  disagreements: readonly Disagreement[],
  things: readonly Thing[],
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
