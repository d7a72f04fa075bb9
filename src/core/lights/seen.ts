/** Everything read of a job's photos for its lights: who is seen where, and all colours as one Gaussian. */
import type { Tolerances } from '../compare/index.ts';
import type { AsSeenColours } from '../correction/as-seen.ts';
import type { Sighting } from '../correction/index.ts';
import { type Job, type JobPanel, TARGET_ID } from '../job/index.ts';
import type { ReadPhoto } from '../measure/index.ts';

export type Photo = Job['photos'][number];

/** A panel (or the target) in one view: face and flop are two things. */
export interface Thing {
  readonly id: string;
  readonly view: Photo['view'];
  readonly group: string;
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
  const all = [
    ...job.panels.map((p) => ({ id: p.id, group: paintOf(p) })),
    ...(job.target ? [{ id: TARGET_ID, group: TARGET_ID }] : []),
  ];
  const wanted = all.flatMap(({ id, group }) => [
    { id, group, view: 'face' as const },
    { id, group: `${group} flop`, view: 'flop' as const },
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
    const { group, id } = thing;
    sightings.push(
      ...found.map((f) => ({ ...f, thing: things.length, group, isAnyPaint: id === TARGET_ID })),
    );
    things.push(thing);
  }
  return { things, sightings };
}

/**
 * Panels of the same tints share what three channels cannot tell, whatever their ratio, and bare panels of one ground. Those
 * whose tints nobody noted are taken to be of the same: on 42 benches with known spectra, half of the pairs of other dyes, 326
 * of 336 were judged rightly so and 1 wrongly; each panel by itself leaves half of the pairs open.
 */
function paintOf({ coats, ground, mix }: JobPanel): string {
  if (coats === 0 && ground !== undefined) return `ground ${ground}`;
  const tints = Object.entries(mix?.parts ?? {}).flatMap(([tint, parts]) => (parts > 0 ? [tint] : []));
  return coats === 0 || tints.length === 0 ? 'not noted' : `candy ${tints.sort().join(' ')}`;
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
