import { join } from 'node:path';
import type { PanelsFile } from '../../../shared/schemas/panels.ts';
import { type Advice, advise } from '../../core/advise/index.ts';
import { ladderOf } from '../../core/advise/ladder.ts';
import type { Comparison } from '../../core/compare/index.ts';
import { SprayoutError } from '../../core/errors.ts';
import { filmDataOf, fitFilm } from '../../core/film/index.ts';
import { type Job, TARGET_ID } from '../../core/job/index.ts';
import { type MeasuredPhoto, measureJob, measurePhoto } from '../../core/measure/index.ts';
import { CAUTIONS } from '../../core/mix/index.ts';
import { compareJob, filmNames, potOf } from '../../core/study/index.ts';
import { type AnnotateOptions, writeAnnotatedPhoto } from '../../node/annotate.ts';
import { writeLadders } from '../../node/ladders.ts';
import { readJobPhotos } from '../../node/measure-job-file.ts';
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
the ladder of ratios and coats.

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
    const { photos, warnings } = await readJobPhotos(jobFile, tell);
    const measured = new Map<string, MeasuredPhoto>();
    for (const [id, { raster, card }] of photos) {
      tell(`measuring ${id} (${measured.size + 1} of ${photos.size})`);
      measured.set(id, measurePhoto(raster, { panels: panelsIn(job, id), card }));
    }
    tell('measuring all photos together');
    const colours = measureJob(job, photos);
    const comparison = compareJob(job, { ...colours, warnings: [...warnings, ...colours.warnings] });
    tell('learning the tints, and looking for the next step');
    const fit = fitFilm(filmDataOf(job, { colours: colours.colours }));
    const advice = advise(fit, { names: filmNames(job), pot: potOf(job) });
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
    return {
      json: { ...comparisonDocument(comparison, colours), advice, cautions: CAUTIONS, pictures, ladders },
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

/** What the job outlines in one photo, the target too. */
function panelsIn(job: Job, photo: string): PanelsFile {
  const things = [...job.panels, ...(job.target ? [{ id: TARGET_ID, measured: job.target.measured }] : [])];
  return {
    format: 'sprayout-panels/1',
    panels: things.flatMap(({ id, measured }) =>
      measured.flatMap((m) => (m.photo === photo && m.corners_px ? [{ id, corners_px: m.corners_px }] : [])),
    ),
  };
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
