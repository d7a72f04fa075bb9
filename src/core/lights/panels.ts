/** Each panel's colour in every photo, and how it shifts from one to the next. */
import { type LabEnsemble, readColours } from '../correction/index.ts';
import type { FilmFit } from '../film/index.ts';
import type { Vec3 } from '../math/linear.ts';
import { differenceTold } from './drawn-difference.ts';
import { filmShifts } from './film-shifts.ts';
import { memberOf, photosOf, type Seen } from './seen.ts';
import type { ColourInPhoto, PanelInLights, Shift } from './types.ts';
import { lightWords, shiftWords } from './words.ts';

/** Each photo's own reading under the card's white, by photo and thing. */
export function plainByPhoto(
  { job, photos, things, sightings }: Seen,
  corrections: Parameters<typeof readColours>[2],
): (photo: number, thing: number) => { readonly lab: LabEnsemble['lab'][number]; readonly u95: Vec3 } {
  const byPhoto = photos.map((_, photo) => {
    const here = sightings.filter((s) => s.photo === photo);
    const which = [...new Set(here.map((s) => s.thing))];
    if (which.length === 0) return new Map<number, { lab: LabEnsemble['lab'][number]; u95: Vec3 }>();
    const { ensemble, u95 } = readColours(
      job.white,
      which.map((t) => things[t].id),
      [corrections[photo]],
      here.map((s) => ({ ...s, photo: 0, thing: which.indexOf(s.thing) })),
    );
    return new Map(which.map((t, i) => [t, { lab: ensemble.lab[i], u95: u95[i] }]));
  });
  return (photo, thing) => byPhoto[photo].get(thing)!;
}

export function panelsOf(
  seen: Seen,
  plain: ReturnType<typeof plainByPhoto>,
  film: FilmFit | undefined,
): PanelInLights[] {
  const { asSeen, things, photos } = seen;
  const predict = film && filmShifts(film);
  const ids = [...new Set(things.map((t) => t.id))];
  return ids.map((id) => {
    const own = things.flatMap((t, i) => (t.id === id ? [i] : []));
    const by_photo = own.flatMap((thing) =>
      photosOf(seen, thing).map((photo): ColourInPhoto => {
        const member = memberOf(asSeen, thing, photo);
        const { lab, u95: u95_lab } = plain(photo, thing);
        const u95_as_seen = asSeen.u95[member];
        return {
          photo: photos[photo].id,
          lab,
          lab_as_seen: asSeen.ensemble.lab[member],
          u95: [0, 1, 2].map((a) => Math.max(u95_lab[a], u95_as_seen[a])) as unknown as Vec3,
          u95_lab,
          u95_as_seen,
        };
      }),
    );
    const face = own.find((t) => things[t].view === 'face');
    const between = asSeen.contradicted.find((c) => c.thing === face)?.between;
    return {
      panel: id,
      by_photo,
      shifts: face === undefined ? [] : shiftsOf(seen, face, id, film, predict),
      ...(between && { contradicted: [photos[between[0]].id, photos[between[1]].id] as const }),
    };
  });
}

function shiftsOf(
  seen: Seen,
  thing: number,
  id: string,
  film: FilmFit | undefined,
  predict: ReturnType<typeof filmShifts> | undefined,
): Shift[] {
  const { asSeen, photos, tolerances } = seen;
  const recipe = film?.data.panels.find((p) => p.id === id)?.recipe;
  const where = photosOf(seen, thing);
  return where.flatMap((from, k) =>
    where.slice(k + 1).map((to): Shift => {
      const [i, j] = [memberOf(asSeen, thing, from), memberOf(asSeen, thing, to)];
      const told = differenceTold(asSeen.ensemble, i, j);
      const its = where.map((p) => photos[p]);
      const names = [lightWords(photos[from], its), lightWords(photos[to], its)] as const;
      const predicted = recipe && predict?.(recipe, asSeen.lights[from], asSeen.lights[to]);
      return {
        from: photos[from].id,
        to: photos[to].id,
        de00: told.de00,
        interval95: told.interval95,
        words: shiftWords(asSeen.ensemble, i, j, told, names, tolerances),
        ...(predicted && { predicted: { de00: predicted.de00, interval95: predicted.interval95 } }),
      };
    }),
  );
}
