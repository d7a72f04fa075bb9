/** Reading one photo of a job: its card, and every place a panel or the target has in it. The only step that needs pixels. */
import type { Job, JobPhoto } from '../../../shared/schemas/job.ts';
import type { CardDefinition } from '../card/types.ts';
import { SprayoutError } from '../errors.ts';
import { checkPanels, type PlacedPanel } from '../panel/index.ts';
import type { Raster } from '../photo/types.ts';
import { type SampledPanelInPhoto, sampledPanel } from './photo.ts';
import { type ReadCard, readCard } from './read-card.ts';
import { thingsOf } from './things.ts';

/** A place as read, or why it could not be. */
export interface ReadPlace extends PlacedPanel {
  readonly sampled?: SampledPanelInPhoto;
  readonly refused?: SprayoutError;
}

/** A photo of a job as read. Plain values: nothing in it refers to the pixels any more. */
export interface ReadPhoto {
  /** What the card was read by, see `cardKey`. */
  readonly key: string;
  readonly card: ReadCard;
  readonly size_px: readonly [width: number, height: number];
  /** In the job's order, the target last. */
  readonly places: readonly ReadPlace[];
}

/** Places of the panels and the target in one photo, in the job's order. */
export function placesIn(job: Job, photoId: string): PlacedPanel[] {
  return thingsOf(job).flatMap(({ id, measured }) =>
    measured.flatMap((m) => (m.photo === photoId && m.corners_px ? [{ id, corners_px: m.corners_px }] : [])),
  );
}

/** Same key, same reading of the card: the card's definition, its corners where given by hand, patches left out. */
export function cardKey(photo: JobPhoto, card: CardDefinition | undefined): string {
  return JSON.stringify([card ?? 'own', photo.card_corners_px ?? null, [...(photo.leave_out ?? [])].sort()]);
}

const samePlace = (a: PlacedPanel, b: PlacedPanel): boolean =>
  a.id === b.id && JSON.stringify(a.corners_px) === JSON.stringify(b.corners_px);

/**
 * What is still good of an earlier reading, or undefined when pixels have to be read: a new card or new corners of
 * it, or a place not read before.
 */
export function rereadPhoto(
  job: Job,
  photo: JobPhoto,
  card: CardDefinition | undefined,
  earlier: ReadPhoto | undefined,
): ReadPhoto | undefined {
  if (!earlier || earlier.key !== cardKey(photo, card)) return undefined;
  const places = placesIn(job, photo.id).map((place) => earlier.places.find((p) => samePlace(p, place)));
  return places.every((p) => p !== undefined) ? { ...earlier, places } : undefined;
}

/**
 * Reads a photo for a job. What an `earlier` reading of the same photo has is not read again. A place that cannot be
 * read is kept with its refusal. Throws SprayoutError when the card can't be found or read.
 */
export function readPhoto(
  job: Job,
  photo: JobPhoto,
  { raster, card: definition }: { readonly raster: Raster; readonly card?: CardDefinition | undefined },
  earlier?: ReadPhoto,
): ReadPhoto {
  const key = cardKey(photo, definition);
  const had = earlier?.key === key ? earlier : undefined;
  const card =
    had?.card ??
    readCard(raster, {
      card: definition,
      corners_px: photo.card_corners_px,
      leave_out: photo.leave_out,
    });
  const places = placesIn(job, photo.id).map(
    (place) => had?.places.find((p) => samePlace(p, place)) ?? readPlace(raster, place, card),
  );
  return { key, card, size_px: [raster.width_px, raster.height_px], places };
}

/** The same, refusing a place that cannot be read; a refusal says in which photo it is. */
export function readWholePhoto(
  job: Job,
  photo: JobPhoto,
  taken: { readonly raster: Raster; readonly card?: CardDefinition | undefined },
): ReadPhoto {
  return inPhoto(photo.id, () => {
    const read = readPhoto(job, photo, taken);
    for (const { refused } of read.places) if (refused) throw refused;
    return read;
  });
}

/** What `read` gives; what it refuses says in which photo it is. */
function inPhoto<T>(id: string, read: () => T): T {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof SprayoutError)) throw error;
    throw new SprayoutError(error.code, `Photo ${id}: ${error.message}`, error.hint);
  }
}

/** Reads one place; one that cannot be read is kept with its refusal. */
export function readPlace(raster: Raster, place: PlacedPanel, card: ReadCard): ReadPlace {
  try {
    checkPanels([place], raster, card.placed);
    return { ...place, sampled: sampledPanel(raster, place, card) };
  } catch (error) {
    if (error instanceof SprayoutError) return { ...place, refused: error };
    throw error;
  }
}
