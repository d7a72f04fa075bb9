import { join } from 'node:path';
import type { Advice } from '../../core/advise/index.ts';
import { ladderOf } from '../../core/advise/ladder.ts';
import { boardDocument, type PicturedJobPhoto, panelPictures } from '../../core/board/index.ts';
import type { Comparison } from '../../core/compare/index.ts';
import { SprayoutError } from '../../core/errors.ts';
import { filmDataOf, fitFilm } from '../../core/film/index.ts';
import { type Job, TARGET_ID } from '../../core/job/index.ts';
import {
  type JobColours,
  joinJob,
  type MeasuredPhoto,
  measuredPhoto,
  type ReadPhoto,
} from '../../core/measure/index.ts';
import { CAUTIONS } from '../../core/mix/index.ts';
import { adviseJob, compareJob, filmNames } from '../../core/study/index.ts';
import { type AnnotateOptions, writeAnnotatedPhoto } from '../../node/annotate.ts';
import { BOARD_ENDINGS, boardPictures, writeBoard } from '../../node/board.ts';
import { readPicturedPhotos } from '../../node/board-photos.ts';
import { writeLadders } from '../../node/ladders.ts';
import { packageRoot } from '../../node/package-root.ts';
import { readJob } from '../../node/read-job.ts';
import { makeFolder } from '../../node/write-file.ts';
import { basisSentence, stepLines } from '../advised-words.ts';
import { defineCommand } from '../command.ts';
import { comparedWords } from '../compared-words.ts';
import { checkSentence } from '../measured-words.ts';
import { comparisonDocument, namesOf } from './compare.ts';

const help = `
Usage: sprayout demo [--out DIR] [--json]

The main job on the sample photos, end to end: a kettle-maker's customer brings an enamel lid, and
twelve panels in garnet and amber candy over silver, gold and graphite have been sprayed to match it.
Measures the photos taken in the sun and under the shop's light, compares the panels with the lid,
says what to spray and pour next, and writes an annotated picture of each photo and, for each ground,
the ladder of ratios and coats, and a sample board of the panel nearest to the lid.

  --out DIR   where the pictures go; demo-out when left out
  --json      one JSON document
`;

const NEAREST_PAIRS = 5;

export const command = defineCommand({
  help,
  options: { out: { type: 'string' } },
  async run({ values, positionals, path, tell }) {
    if (positionals.length > 0)
      throw new SprayoutError('usage', 'sprayout demo takes no arguments.', 'See sprayout demo --help.');
    const out = path(values.out ?? 'demo-out');
    await makeFolder(out);
    const jobFile = await readJob(join(packageRoot(), 'samples/demo/kettle-lid.job.json'));
    const { job } = jobFile;
    const { photos, warnings } = await readPicturedPhotos(jobFile, tell);
    const measured = new Map([...photos].map(([id, { read }]) => [id, photoAlone(read)]));
    tell('joining all photos');
    const colours = joinJob(job, new Map([...photos].map(([id, { read }]) => [id, read])));
    const comparison = compareJob(job, { ...colours, warnings: [...warnings, ...colours.warnings] });
    tell('learning the tints, and looking for the next step');
    const fit = fitFilm(filmDataOf(job, { colours: colours.colours }));
    const advice = adviseJob(job, fit);
    for (const { message } of [...comparison.warnings, ...advice.warnings]) tell(`warning: ${message}`);
    const pictures: string[] = [];
    for (const [id, photo] of measured) {
      const picture = join(out, `${id}-measured.jpg`);
      tell(`drawing ${picture}`);
      await writeAnnotatedPhoto(
        photos.get(id)!.raster,
        photo,
        picture,
        pictureOf(job, id, photo, comparison),
      );
      pictures.push(picture);
    }
    tell(`drawing the ladders into ${out}`);
    const ladders = await writeLadders(ladderOf(fit, filmNames(job), advice.suggestions[0]), out);
    const nearest = [...comparison.target].sort((a, b) => a.de00 - b.de00)[0].panel;
    tell(`making the sample board of ${nearest}`);
    const boards = await writeDemoBoards(job, photos, colours, comparison, nearest, out);
    return {
      json: {
        ...comparisonDocument(comparison, colours),
        advice,
        cautions: CAUTIONS,
        pictures,
        ladders,
        boards,
      },
      words: [
        job.name,
        ['How well the card was read', ...[...measured].map(checkLine)].join('\n'),
        comparedWords(comparison, namesOf(job), { nearest: NEAREST_PAIRS }),
        adviceLines(advice),
        ['Before you mix and spray', ...CAUTIONS.map(({ message }) => `  ${message}`)].join('\n'),
        ['Pictures of what was measured', ...pictures.map((picture) => `  ${picture}`)].join('\n'),
        [
          'Ladders: how far every ratio and number of coats would be from the lid (and as .svg)',
          ...ladders.filter((file) => file.endsWith('.png')).map((file) => `  ${file}`),
        ].join('\n'),
        [
          `Sample board of ${nearest}, the nearest: to print, to send, to post`,
          ...boards.map((file) => `  ${file}`),
        ].join('\n'),
      ].join('\n\n'),
    };
  },
});

function adviceLines(advice: Advice): string {
  return [
    'What to do next',
    ...stepLines(advice).map((line) => `  ${line}`),
    `  ${basisSentence(advice)}.`,
  ].join('\n');
}

function checkLine([id, { card }]: readonly [string, MeasuredPhoto]): string {
  return `  ${id}: ${checkSentence(card.check)}`;
}

/** What one photo tells by itself. */
function photoAlone({ card, places }: ReadPhoto): MeasuredPhoto {
  return measuredPhoto(
    card,
    places,
    places.flatMap((p) => p.sampled ?? []),
  );
}

/** The board of one panel as PDF, web page and picture. */
async function writeDemoBoards(
  job: Job,
  photos: ReadonlyMap<string, PicturedJobPhoto>,
  { colours, joined_from }: JobColours,
  comparison: Comparison,
  panel: string,
  folder: string,
): Promise<string[]> {
  const crops = panelPictures(job, photos, colours, { ids: [panel, TARGET_ID] });
  const document = boardDocument({
    job,
    panels: [panel],
    comparison,
    joined_from,
    pictures: await boardPictures(crops),
  });
  const written: string[] = [];
  for (const ending of BOARD_ENDINGS)
    written.push(...(await writeBoard(document, join(folder, `board-${panel}${ending}`))));
  return written;
}

/** A picture shows the photo, and beside it the colours as all photos together gave them. */
function pictureOf(
  job: Job,
  photo: string,
  measured: MeasuredPhoto,
  comparison: Comparison,
): AnnotateOptions {
  const names = new Map(job.panels.flatMap(({ id, name }) => (name ? [[id, name] as const] : [])));
  if (job.target?.name) names.set(TARGET_ID, job.target.name);
  return {
    title: `${job.name}: ${photo}`,
    check: checkSentence(measured.card.check),
    names,
    colours: new Map(comparison.panels.map((panel) => [panel.id, panel])),
    differences: new Map(comparison.target.map((row) => [row.panel, row])),
  };
}
