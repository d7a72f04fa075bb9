/**
 * Lights: the same panels in photos under different lights. How each shifts, whether pairs that match in one light match
 * in the others, what a panel does from face to flop, and what the film model's spectra say of it.
 */
import { DEFAULT_TOLERANCES } from '../compare/index.ts';
import { type AsSeenColours, readAsSeen } from '../correction/as-seen.ts';
import { SprayoutError } from '../errors.ts';
import type { FilmFit } from '../film/index.ts';
import type { Job } from '../job/index.ts';
import type { ReadPhoto } from '../measure/index.ts';
import { pairsOf } from './pairs.ts';
import { panelsOf, plainByPhoto } from './panels.ts';
import { type Photo, type Seen, sightingsOf } from './seen.ts';
import type { PanelSurface } from './surface.ts';
import { texturePairs } from './surface-words.ts';
import { travels } from './travels.ts';
import type { Lights, PhotoInLights } from './types.ts';
import { lightWarnings, placeWarnings, surfaceWarnings } from './warnings.ts';
import { CANNOT_TELL } from './words.ts';

export { type DifferenceTold, differenceTold } from './drawn-difference.ts';
export { judgePair, type PairJudged, type Verdict } from './pair-verdict.ts';
export { type PanelSurface, surfacesIn } from './surface.ts';
export {
  againstWords,
  evennessWords,
  heldAgainst,
  type TexturePair,
  texturePairs,
  textureWords,
} from './surface-words.ts';
export { travelOf } from './travel.ts';
export type * from './types.ts';

export interface LightsOptions {
  /** The job's film model, where it has one: shifts are then predicted from spectra too. */
  readonly film?: FilmFit | undefined;
  /** What `surfacesIn` saw of each photo. */
  readonly surfaces?: readonly PanelSurface[] | undefined;
}

/**
 * The panels of a job under the lights of its photos. `read` holds the photos read, by id. Throws `not-enough-panels`
 * when no panel has a place in a photo.
 */
export function lightsOfJob(
  job: Job,
  read: ReadonlyMap<string, ReadPhoto>,
  { film, surfaces = [] }: LightsOptions = {},
): Lights {
  const photos = job.photos.filter((p) => read.has(p.id));
  const { things, sightings } = sightingsOf(job, photos, read);
  if (sightings.length === 0)
    throw new SprayoutError(
      'not-enough-panels',
      'No panel of this job has a place in a photo: light after light can only be told from photos.',
      'Photograph the panels beside the card in the sun and under the shop light, and give their corners.',
    );
  const corrections = photos.map((p) => read.get(p.id)!.card.correction);
  const asSeen = readAsSeen(
    job.white,
    things.map((t) => t.id),
    corrections,
    sightings,
    { labels: photos.map((p) => p.light) },
  );
  const seen: Seen = {
    job,
    photos,
    things,
    sightings,
    asSeen,
    tolerances: job.tolerances ?? DEFAULT_TOLERANCES,
  };
  const plain = plainByPhoto(seen, corrections);
  const travel = travels(seen);
  return {
    photos: photos.map((p, i) => photoInLights(p, asSeen, i)),
    panels: panelsOf(seen, plain, film),
    pairs: pairsOf(seen),
    travel: travel.found,
    surfaces,
    texture_pairs: texturePairs(surfaces),
    cannot_tell: CANNOT_TELL,
    warnings: [
      ...lightWarnings(seen, read),
      ...travel.warnings,
      ...placeWarnings(read, photos),
      ...surfaceWarnings(surfaces),
    ],
  };
}

function photoInLights(photo: Photo, { lights }: AsSeenColours, i: number): PhotoInLights {
  return { id: photo.id, light: photo.light, view: photo.view, ...lights[i].light };
}
