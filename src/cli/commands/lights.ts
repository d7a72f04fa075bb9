import { SprayoutError } from '../../core/errors.ts';
import {
  type Lights,
  lightsOfJob,
  type PairInLights,
  type PanelSurface,
  surfacesIn,
} from '../../core/lights/index.ts';
import { KIND_WORDS, temperatureWords } from '../../core/lights/kind-words.ts';
import { joinJob } from '../../core/measure/index.ts';
import { attempt, fitJobFilm } from '../../core/study/index.ts';
import { readJob } from '../../node/read-job.ts';
import { readPhotosOfJob } from '../../node/read-photos-of-job.ts';
import { onePositional } from '../arguments.ts';
import { defineCommand } from '../command.ts';
import { surfaceWords } from '../surface-words.ts';
import { indented, number, plusMinus, table } from '../table.ts';
import { namesOf } from './compare.ts';

const help = `
Usage: sprayout lights JOB [--all] [--allow-outside] [--json]

The same panels under different lights: how each panel shifts from photo to photo as the eye meets it
there, and for each pair whether the difference holds in every light or matches in one and parts in
another; and each panel's surface: sparkle (sun, lamp) or graininess (shop, shade) against the other
panels of the photo, and how even it is. Panels photographed from the side too ("view": "flop") get their travel.
Say in the job which light each photo was taken in: sun, shade, shop or lamp. The card tells more
when it knows.

  --all             list every pair of panels, also those plainly different
  --allow-outside   photos and cards of the job may lie outside its folder
  --json            one JSON document: photos, panels, pairs, travel, surfaces, texture_pairs, warnings
`;

export const command = defineCommand({
  help,
  options: { all: { type: 'boolean' }, 'allow-outside': { type: 'boolean' } },
  async run({ values, positionals, path, tell }) {
    const file = onePositional(positionals, 'a job file', 'lights');
    const jobFile = await readJob(path(file), { allowOutside: values['allow-outside'] });
    const { job } = jobFile;
    if (job.panels.length === 0)
      throw new SprayoutError('not-enough-panels', `${file} has no panels yet.`, 'Add a panel to look at.');
    const surfaces: PanelSurface[] = [];
    const { photos, warnings } = await readPhotosOfJob(jobFile, tell, (raster, photo, read) => {
      if (photo.view === 'face') surfaces.push(...surfacesIn(raster, photo, read));
    });
    // the film model is a gift where the job has one: without it, everything else is told
    const film = attempt(() => fitJobFilm(job, joinJob(job, photos)));
    const lights = lightsOfJob(job, photos, { surfaces, ...(film.ok && { film: film.value }) });
    const answer = { ...lights, warnings: [...warnings, ...lights.warnings] };
    for (const { message } of answer.warnings) tell(`warning: ${message}`);
    return {
      json: { ...answer, surfaces: surfaces.map(shortened) },
      words: lightsWords(answer, namesOf(job), values.all ?? false),
    };
  },
});

/** Maps to a hundredth of a ΔE: more digits would only be longer. */
function shortened(surface: PanelSurface): unknown {
  const { evenness } = surface;
  const round = (v: number | undefined): number | null =>
    v === undefined ? null : Math.round(100 * v) / 100;
  if (!evenness) return surface;
  return {
    ...surface,
    evenness: { ...evenness, de00: evenness.de00.map(round), lighter: evenness.lighter.map(round) },
  };
}

/** Above this in every light nobody asks whether a pair matches. */
const PLAINLY_DIFFERENT = 6;

function lightsWords(lights: Lights, nameOf: (id: string) => string, all: boolean): string {
  const shown = lights.pairs.filter((p) => all || isClose(p));
  const hidden = lights.pairs.length - shown.length;
  return [
    'Lights, as far as the card tells (the camera balances most of a light’s colour away)',
    indented(photosTable(lights)),
    ...lights.panels.flatMap((panel) => [
      '',
      nameOf(panel.panel),
      indented(panelTable(lights, panel.panel)),
      ...panel.shifts.map((s) =>
        indented(
          `${s.words}: ${number(s.de00)} (${s.interval95.map((v) => number(v)).join(' to ')})${
            s.predicted
              ? `; the film model expects ${number(s.predicted.de00)} (${s.predicted.interval95.map((v) => number(v)).join(' to ')})`
              : ''
          }`,
        ),
      ),
    ]),
    ...(shown.length > 0 ? ['', 'Pairs', indented(pairsTable(shown, nameOf))] : []),
    ...(hidden > 0
      ? [
          indented(
            `${hidden} more pairs are plainly different or were never photographed together in two lights: --all lists them`,
          ),
        ]
      : []),
    ...(lights.travel.length > 0 ? ['', 'Face and flop'] : []),
    ...lights.travel.map((t) =>
      indented(
        `${nameOf(t.panel)}: ${t.words}; ${number(t.de00)} (${t.interval95.map((v) => number(v)).join(' to ')})`,
      ),
    ),
    ...surfaceWords(lights, nameOf),
    '',
    lights.cannot_tell,
  ].join('\n');
}

function isClose({ by_light, verdict }: PairInLights): boolean {
  if (by_light.length < 2) return false;
  return verdict !== 'holds' || by_light.some((l) => l.interval95[0] < PLAINLY_DIFFERENT);
}

function photosTable({ photos }: Lights): string {
  return table(
    [
      ['photo', 'light', 'CCT', 'Duv', 'seems to be'],
      ...photos.map((p) => [
        p.id,
        p.view === 'flop' ? `${p.light}, from the side` : p.light,
        temperatureWords(p),
        plusMinus(p.duv, p.duv_u95, 3),
        `${KIND_WORDS[p.kind.name]} (${Math.round(100 * p.kind.share)} %)`,
      ]),
    ],
    [2, 3],
  );
}

function panelTable({ panels }: Lights, id: string): string {
  const panel = panels.find((p) => p.panel === id)!;
  return table(
    [
      ['photo', 'under the card’s white', 'as seen there', '±'],
      ...panel.by_photo.map((c) => [
        c.photo,
        c.lab.map((v) => number(v)).join(' '),
        c.lab_as_seen.map((v) => number(v)).join(' '),
        c.u95_as_seen.map((v) => number(v)).join(' '),
      ]),
    ],
    [1, 2, 3],
  );
}

function pairsTable(pairs: readonly PairInLights[], nameOf: (id: string) => string): string {
  return table([
    ['pair', 'verdict', 'in each light', ''],
    ...pairs.map((p) => [
      `${nameOf(p.a)} – ${nameOf(p.b)}`,
      p.verdict,
      p.by_light.map((l) => `${l.light} ${number(l.de00)}`).join(', '),
      p.words,
    ]),
  ]);
}
