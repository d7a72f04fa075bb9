/** The web worker: everything that takes longer than a blink. Reads photos, joins, compares, fits and advises. */
import * as Comlink from 'comlink';
import type { Job } from '../../../shared/schemas/job.ts';
import type { Advice } from '../../core/advise/index.ts';
import { ladderOf } from '../../core/advise/ladder.ts';
import type { PicturedJobPhoto } from '../../core/board/pictures.ts';
import { parseCard } from '../../core/card/definition.ts';
import { deltaE2000 } from '../../core/color/index.ts';
import { SprayoutError } from '../../core/errors.ts';
import { type FilmFit, predictColour } from '../../core/film/index.ts';
import { parseJob } from '../../core/job/index.ts';
import { type JobColours, joinJob, type ReadPhoto } from '../../core/measure/index.ts';
import { correctPot, mixingSheet } from '../../core/mix/index.ts';
import {
  adviseJob,
  andThen,
  attempt,
  attemptLater,
  compareJob,
  filmNames,
  fitJobFilm,
  type Part,
  predictJob,
  problemOf,
} from '../../core/study/index.ts';
import { adviceNames } from './advice-names.ts';
import { finderBeside } from './finder-beside.ts';
import { foundColours } from './found-colours.ts';
import { photoReport } from './photo-report.ts';
import { decodedPhoto, readShelved } from './photo-shelf.ts';
import type { BenchApi, FilmReport, PhotoSource, StudyEvent, StudyRequest } from './protocol.ts';
import { colourKey, filmKey, remember } from './remember.ts';

let latest = 0;
let job: Job | undefined;
const NOTHING_STUDIED = {
  ok: false,
  problem: { code: 'not-enough-panels', message: 'No job has been studied yet.', hint: 'Open a job.' },
} as const;
let film: Part<FilmFit> = NOTHING_STUDIED;
/** The advice given last for `film`. */
let advised: Part<Advice> = NOTHING_STUDIED;

const colours = remember<Part<JobColours>>();
const fits = remember<Part<FilmFit>>();
const reports = new WeakMap<ReadPhoto, ReturnType<typeof photoReport>>();

/** Lets messages in, so that a newer study can overtake this one. */
const breathe = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 0));

async function readPhotos(
  { jobId, job, cards }: StudyRequest,
  source: PhotoSource,
  tell: (event: StudyEvent) => void,
  overtaken: () => boolean,
): Promise<Map<string, ReadPhoto>> {
  const read = new Map<string, ReadPhoto>();
  for (const [i, photo] of job.photos.entries()) {
    const words = `Reading photo ${i + 1} of ${job.photos.length}`;
    tell({ kind: 'progress', words, fraction: i / (job.photos.length + 2) });
    const part = await readShelved(jobId, job, photo, cards[photo.id], source);
    if (part.ok) read.set(photo.id, part.value.read);
    const report = andThen(part, (value) => {
      const known = reports.get(value.read) ?? photoReport(value);
      reports.set(value.read, known);
      return known;
    });
    tell({ kind: 'photo', id: photo.id, report });
    await breathe();
    if (overtaken()) break;
  }
  return read;
}

/** Some photo has no panel outlined yet: they will be looked for in it. */
const wantsPanels = ({ photos, panels }: Job): boolean =>
  photos.some((photo) => !panels.some((p) => p.measured.some((m) => m.photo === photo.id)));

const filmReport = (fit: FilmFit): FilmReport => ({
  residuals: fit.residuals,
  residual_mean_de00: fit.residual_mean_de00,
  panels_used: fit.panels_used,
  usual: fit.model.usual,
  warnings: fit.warnings,
});

const api: BenchApi = {
  async beat() {},

  async study(request, source, tell) {
    const run = ++latest;
    // what will be asked for next: it loads while the photos are read
    if (wantsPanels(request.job)) finderBeside();
    const overtaken = (): boolean => run !== latest;
    const photos = await readPhotos(request, source, tell, overtaken);
    if (overtaken()) return false;
    const steps = request.job.photos.length + 2;
    const { job: asked } = request;
    tell({ kind: 'progress', words: 'Comparing', fraction: (steps - 2) / steps });
    const key = colourKey(asked, photos);
    const joined = colours(key, () => attempt(() => joinJob(asked, photos)));
    tell({ kind: 'colours', part: joined });
    tell({ kind: 'comparison', part: andThen(joined, (measured) => compareJob(asked, measured)) });
    await breathe();
    if (overtaken()) return false;
    tell({ kind: 'progress', words: 'Learning the paint', fraction: (steps - 1) / steps });
    const fit = fits(`${key} ${filmKey(asked)}`, () =>
      andThen(joined, (measured) => fitJobFilm(asked, measured)),
    );
    if (film !== fit) advised = NOTHING_STUDIED;
    job = asked;
    film = fit;
    tell({ kind: 'film', part: andThen(fit, filmReport) });
    await breathe();
    if (overtaken()) return false;
    advised = andThen(fit, (f) => adviseJob(asked, f, undefined, adviceNames(asked)));
    tell({ kind: 'advice', part: advised });
    return true;
  },

  prepareFinder: async () => (await finderBeside()) !== undefined,

  async findPanels(request, photoId, source) {
    const photo = request.job.photos.find((p) => p.id === photoId);
    try {
      if (!photo) throw new SprayoutError('usage', 'That photo is gone.', 'Choose another photo.');
      const part = await readShelved(request.jobId, request.job, photo, request.cards[photoId], source);
      if (!part.ok) return part;
      const { raster } = await decodedPhoto(request.jobId, photo, source);
      const { panelsIn } = await import('./finder.ts');
      const { read } = part.value;
      const found = await panelsIn(raster, read.card.placed);
      return { ok: true, value: { ...found, panels: foundColours(raster, read, found.panels) } };
    } catch (error) {
      return { ok: false, problem: problemOf(error) };
    }
  },

  async surfaces({ jobId, job: asked, cards }, photoId, source) {
    try {
      const photo = asked.photos.find((p) => p.id === photoId);
      if (!photo) throw new SprayoutError('usage', 'That photo is gone.', 'Choose another photo.');
      const part = await readShelved(jobId, asked, photo, cards[photoId], source);
      if (!part.ok) return part;
      const { raster } = await decodedPhoto(jobId, photo, source);
      const { photoSurfaces } = await import('./surface.ts');
      return attempt(() => photoSurfaces(raster, photo, part.value.read));
    } catch (error) {
      return { ok: false, problem: problemOf(error) };
    }
  },

  picture: (jobId, photo, source) =>
    attemptLater(async () => {
      const { raster } = await decodedPhoto(jobId, photo, source);
      const { pictureOf } = await import('./picture.ts');
      return pictureOf(raster);
    }),

  predict: async (recipe) => andThen(film, (fit) => predictJob(job as Job, fit, recipe)),
  ladder: async () =>
    andThen(film, (fit) =>
      ladderOf(fit, filmNames(job as Job), advised.ok ? advised.value.suggestions[0] : undefined),
    ),
  async advise(settings) {
    advised = andThen(film, (fit) => adviseJob(job as Job, fit, settings, adviceNames(job as Job)));
    return advised;
  },

  async lights({ jobId, job: asked, cards }, source) {
    try {
      const read = new Map<string, ReadPhoto>();
      for (const photo of asked.photos) {
        const part = await readShelved(jobId, asked, photo, cards[photo.id], source);
        if (part.ok) read.set(photo.id, part.value.read);
      }
      const { lightsOfJob } = await import('../../core/lights/index.ts');
      return attempt(() => lightsOfJob(asked, read, film.ok ? { film: film.value } : {}));
    } catch (error) {
      return { ok: false, problem: problemOf(error) };
    }
  },

  async board(request, ask, source) {
    try {
      const { jobId, job: asked, cards } = request;
      const pictured = new Map<string, PicturedJobPhoto>();
      for (const photo of asked.photos) {
        const part = await readShelved(jobId, asked, photo, cards[photo.id], source);
        if (!part.ok || photo.view === 'flop') continue;
        const { raster } = await decodedPhoto(jobId, photo, source);
        pictured.set(photo.id, { raster, read: part.value.read });
      }
      const read = new Map([...pictured].map(([id, photo]) => [id, photo.read]));
      const measured = colours(colourKey(asked, read), () => attempt(() => joinJob(asked, read)));
      if (!measured.ok) return measured;
      const { drawBoard } = await import('./board.ts');
      const drawn = await drawBoard(ask, asked, pictured, measured.value, film.ok ? film.value : undefined);
      return { ok: true, value: drawn };
    } catch (error) {
      return { ok: false, problem: problemOf(error) };
    }
  },

  cardPage: (paper) =>
    attemptLater(async () => {
      const { cardPage } = await import('./card-page.ts');
      return cardPage(paper);
    }),

  readBoardCode: (photo) =>
    attemptLater(async () => {
      const { readBoardCode } = await import('./read-board-code.ts');
      return readBoardCode(photo);
    }),

  packJob: (request) =>
    attemptLater(async () => {
      const { packJob } = await import('./job-bundle.ts');
      return packJob(request);
    }),

  openBundle: (file, options) =>
    attemptLater(async () => {
      const { openBundle } = await import('./job-bundle.ts');
      return openBundle(file, options);
    }),

  sheet: async (request) => attempt(() => mixingSheet(request)),
  roundingOf: async (wanted, poured) =>
    andThen(film, (fit) =>
      deltaE2000(predictColour(fit, wanted), predictColour(fit, { ...wanted, ...poured })),
    ),
  correctPot: async (pot, goal) => attempt(() => correctPot(pot, goal)),
  parseJob: async (json, where) => attempt(() => parseJob(json, where)),
  parseCard: async (json, where) => attempt(() => parseCard(json, where)),
};

Comlink.expose(api);
