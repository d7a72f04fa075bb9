/** Everything read of a job's photos for its lights: who is seen where, and all colours as one Gaussian. */
import type { Tolerances } from '../compare/index.ts';
import type { AsSeenColours } from '../correction/as-seen.ts';
import type { Paint, Sighting } from '../correction/index.ts';
import type { Job } from '../job/index.ts';
import { type ReadPhoto, thingsOf } from '../measure/index.ts';

export type Photo = Job['photos'][number];

/** A panel (or the target) in one view: face and flop are two things. */
export interface Thing {
  readonly id: string;
  readonly view: Photo['view'];
  readonly paint: Paint;
}

/** Everything read of a job's photos, as one Gaussian. */
export interface Seen {
  readonly job: Job;
  readonly photos: readonly Photo[];
  readonly things: readonly Thing[];
  readonly sightings: readonly Sighting[];
  readonly asSeen: AsSeenColours;
  readonly tolerances: Tolerances;
}

/** Who is seen in which photo; face and flop of a panel are two things. */
export function sightingsOf(
  job: Job,
  photos: readonly Photo[],
  read: ReadonlyMap<string, ReadPhoto>,
): { readonly things: readonly Thing[]; readonly sightings: readonly Sighting[] } {
  const wanted = thingsOf(job).flatMap(({ id, paint }) => [
    { id, paint, view: 'face' as const },
    { id, paint: { ...paint, group: `${paint.group} flop` }, view: 'flop' as const },
  ]);
  const things: Thing[] = [];
  const sightings: Sighting[] = [];
  for (const thing of wanted) {
    const found = photos.flatMap((p, photo) =>
      p.view === thing.view
        ? read
            .get(p.id)!
            .places.flatMap(({ id, sampled }) =>
              id === thing.id && sampled ? [{ photo, reading: sampled.sighted }] : [],
            )
        : [],
    );
    if (found.length === 0) continue;
    sightings.push(...found.map((f) => ({ ...f, thing: things.length, ...thing.paint })));
    things.push(thing);
  }
  return { things, sightings };
}

/** Where a thing's colour in a photo's light (or under the card's white) stands in the ensemble; −1 for nowhere. */
export const memberOf = ({ members }: AsSeenColours, thing: number, light: number | 'white'): number =>
  members.findIndex((m) => m.thing === thing && m.light === light);

/** Photos a thing was seen in, in the job's order. */
export function photosOf({ sightings, photos }: Seen, thing: number): number[] {
  return photos.flatMap((_, photo) =>
    sightings.some((s) => s.thing === thing && s.photo === photo) ? [photo] : [],
  );
}
