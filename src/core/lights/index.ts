/**
 * Lights: the same panels in photos under different lights. How each shifts, whether pairs that match in one light match
 * in the others, what a panel does from face to flop, and what the film model's spectra say of it.
 */
import { DEFAULT_TOLERANCES, type Tolerances } from '../compare/index.ts';
import { type AsSeenColours, readAsSeen } from '../correction/as-seen.ts';
import { type LabEnsemble, readColours, type Sighting } from '../correction/index.ts';
import { colourSpread } from '../correction/photo-light.ts';
import { SprayoutError, type Warning } from '../errors.ts';
import type { FilmFit } from '../film/index.ts';
import { type Job, type JobPanel, TARGET_ID } from '../job/index.ts';
import type { Vec3 } from '../math/linear.ts';
import type { ReadPhoto } from '../measure/index.ts';
import { differenceTold, drawsOf } from './drawn-difference.ts';
import { filmShifts } from './film-shifts.ts';
import { judgePair } from './pair-verdict.ts';
import { looksLikeAnother, travelOf } from './travel.ts';
import type {
  ColourInPhoto,
  Lights,
  PairInLights,
  PanelInLights,
  PhotoInLights,
  Shift,
  Travel,
} from './types.ts';
import { CANNOT_TELL, lightName, lightWords, pairWords, shiftWords } from './words.ts';

export { type DifferenceTold, differenceTold } from './drawn-difference.ts';
export { judgePair, type PairJudged, type Verdict } from './pair-verdict.ts';
export { travelOf } from './travel.ts';
export type * from './types.ts';

type Photo = Job['photos'][number];

/** A panel (or the target) in one view: face and flop are two things. */
interface Thing {
  readonly id: string;
  readonly view: Photo['view'];
  readonly group: string;
}

/** Everything read of a job's photos, as one Gaussian. */
interface Seen {
  readonly job: Job;
  readonly photos: readonly Photo[];
  readonly things: readonly Thing[];
  readonly sightings: readonly Sighting[];
  readonly asSeen: AsSeenColours;
  readonly tolerances: Tolerances;
}

export interface LightsOptions {
  /** The job's film model, where it has one: shifts are then predicted from spectra too. */
  readonly film?: FilmFit | undefined;
}

/**
 * The panels of a job under the lights of its photos. `read` holds the photos read, by id. Throws `not-enough-panels`
 * when no panel has a place in a photo.
 */
export function lightsOfJob(
  job: Job,
  read: ReadonlyMap<string, ReadPhoto>,
  { film }: LightsOptions = {},
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
    cannot_tell: CANNOT_TELL,
    warnings: [...lightWarnings(seen), ...travel.warnings, ...placeWarnings(read, photos)],
  };
}

function sightingsOf(
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
    sightings.push(...found.map((f) => ({ ...f, thing: things.length, group: thing.group })));
    things.push(thing);
  }
  return { things, sightings };
}

/** Panels of the same tints share what three channels cannot tell, whatever their ratio. */
function paintOf({ coats, mix }: JobPanel): string {
  const tints = Object.entries(mix?.parts ?? {}).flatMap(([tint, parts]) => (parts > 0 ? [tint] : []));
  return coats === 0 || tints.length === 0 ? 'ground' : `candy ${tints.sort().join(' ')}`;
}

/** Each photo's own reading under the card's white, by photo and thing. */
function plainByPhoto(
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

function photoInLights(photo: Photo, { lights }: AsSeenColours, i: number): PhotoInLights {
  const { cct_k, duv, cct_k_u95, duv_u95 } = colourSpread(lights[i]);
  const [kind] = lights[i].kinds;
  return {
    id: photo.id,
    light: photo.light,
    view: photo.view,
    cct_k,
    duv,
    cct_k_u95,
    duv_u95,
    kind: { name: kind.name, share: kind.weight },
  };
}

const memberOf = ({ members }: AsSeenColours, thing: number, light: number | 'white'): number =>
  members.findIndex((m) => m.thing === thing && m.light === light);

/** Photos a thing was seen in, in the job's order. */
function photosOf({ sightings, photos }: Seen, thing: number): number[] {
  return photos.flatMap((_, photo) =>
    sightings.some((s) => s.thing === thing && s.photo === photo) ? [photo] : [],
  );
}

function panelsOf(
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

function pairsOf(seen: Seen): PairInLights[] {
  const { asSeen, things, photos, tolerances } = seen;
  const faces = things.flatMap((t, i) => (t.view === 'face' ? [i] : []));
  const told = (thing: number, photo: number) => {
    const member = memberOf(asSeen, thing, photo);
    return { lab: asSeen.ensemble.lab[member], draws: drawsOf(asSeen.ensemble, member) };
  };
  return faces.flatMap((i, at) =>
    faces.slice(at + 1).map((j): PairInLights => {
      const together = photosOf(seen, i).filter((p) => photosOf(seen, j).includes(p));
      const judged = judgePair(
        together.map((photo) => {
          const [a, b] = [told(i, photo), told(j, photo)];
          return { a: a.lab, b: b.lab, drawsA: a.draws, drawsB: b.draws };
        }),
        tolerances,
      );
      return {
        a: things[i].id,
        b: things[j].id,
        by_light: together.map((photo, k) => ({
          light: photos[photo].light,
          photo: photos[photo].id,
          de00: judged.inLights[k].de00,
          interval95: judged.inLights[k].interval95,
        })),
        verdict: judged.verdict,
        words: pairWords(
          judged,
          together.map((photo) =>
            lightWords(
              photos[photo],
              together.map((p) => photos[p]),
            ),
          ),
          tolerances,
        ),
      };
    }),
  );
}

/** Face and flop of each panel that has both: under the light of the same name where there is one, else the first of each. */
function travels(seen: Seen): { readonly found: Travel[]; readonly warnings: Warning[] } {
  const { asSeen, things, photos, tolerances } = seen;
  const found: Travel[] = [];
  const warnings: Warning[] = [];
  things.forEach((thing, flop) => {
    if (thing.view !== 'flop') return;
    const face = things.findIndex((t) => t.id === thing.id && t.view === 'face');
    if (face < 0) {
      warnings.push({
        code: 'flop-without-face',
        message: `${thing.id} was photographed turned away but not square-on: without its face there is no travel to tell. Is the flop photo of another panel?`,
      });
      return;
    }
    const [flopPhoto] = photosOf(seen, flop);
    const faces = photosOf(seen, face);
    const sameLight = faces.find((p) => photos[p].light === photos[flopPhoto].light);
    const facePhoto = sameLight ?? faces[0];
    if (sameLight === undefined)
      warnings.push({
        code: 'travel-across-lights',
        message: `${thing.id}: face and flop were photographed in different lights; part of the travel is the light's.`,
      });
    const travel = travelOf(
      asSeen.ensemble,
      {
        panel: thing.id,
        face: { photo: photos[facePhoto].id, member: memberOf(asSeen, face, facePhoto) },
        flop: { photo: photos[flopPhoto].id, member: memberOf(asSeen, flop, flopPhoto) },
      },
      tolerances,
    );
    found.push(travel);
    if (looksLikeAnother(travel.face.lab, travel.flop.lab))
      warnings.push({
        code: 'flop-looks-other',
        message: `${thing.id} has quite another hue in flop photo ${travel.flop.photo} than in ${travel.face.photo}: is it the same panel? A colour-travelling pearl does that, a candy does not.`,
      });
  });
  return { found, warnings };
}

function lightWarnings(seen: Seen): Warning[] {
  const { things, photos, asSeen } = seen;
  const faces = photos.filter((p) => p.view === 'face');
  const warnings: Warning[] = [];
  if (faces.length < 2 || new Set(faces.map((p) => p.light)).size < 2)
    warnings.push({
      code: 'one-light',
      message:
        faces.length < 2
          ? 'These panels were photographed in one light only: nothing can be said of another. Take the same panels and card again in the sun, in the shade or under the shop light.'
          : 'All these photos name the same kind of light: what shifts is told, but they say little of another light.',
    });
  const named = [...new Set(faces.map((p) => p.light))];
  things.forEach((thing, i) => {
    if (thing.view !== 'face') return;
    const met = photosOf(seen, i).map((p) => photos[p].light);
    const missing = named.filter((light) => !met.includes(light));
    if (missing.length > 0)
      warnings.push({
        code: 'panel-missing-in-photo',
        message: `${thing.id} is in no photo taken ${missing.map(lightName).join(' or ')}: nothing is said of it there.`,
      });
  });
  for (const { thing, between } of asSeen.contradicted)
    warnings.push({
      code: 'photos-disagree',
      message: `${things[thing].id} looks different in photos ${between.map((p) => photos[p].id).join(' and ')} by more than the lights explain: a metallic panel tilted to the light does that. Its shift is told from each photo alone.`,
    });
  return warnings;
}

function placeWarnings(read: ReadonlyMap<string, ReadPhoto>, photos: readonly Photo[]): Warning[] {
  return photos.flatMap((p) =>
    read
      .get(p.id)!
      .places.flatMap(({ id, refused }) =>
        refused ? [{ code: refused.code, message: `${id} in photo ${p.id}: ${refused.message}` }] : [],
      ),
  );
}
