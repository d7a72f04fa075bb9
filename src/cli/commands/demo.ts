import { basename, join } from 'node:path';
import type { PanelsFile } from '../../../shared/schemas/panels.ts';
import { SprayoutError } from '../../core/errors.ts';
import { type Job, TARGET_ID } from '../../core/job/index.ts';
import { type MeasuredPhoto, measurePhoto } from '../../core/measure/index.ts';
import { measureJobFile } from '../../node/measure-job-file.ts';
import { packageRoot } from '../../node/package-root.ts';
import { readCard } from '../../node/read-card.ts';
import { type JobFile, readJob } from '../../node/read-job.ts';
import { readPhoto } from '../../node/read-photo.ts';
import { makeFolder } from '../../node/write-file.ts';
import { defineCommand } from '../command.ts';
import { comparedWords } from '../compared-words.ts';
import { checkSentence } from '../measured-words.ts';
import { compareJob, comparisonDocument, namesOf } from './compare.ts';

const help = `
Usage: sprayout demo [--out DIR] [--json]

The main job on the sample photos, end to end: a kettle-maker's customer brings an enamel lid, and
twelve panels in garnet and amber candy over silver, gold and graphite have been sprayed to match it.
Measures the photos taken in the sun and under the shop's light, compares the panels with the lid,
and writes an annotated picture of each photo.

  --out DIR   where the pictures go; demo-out when left out
  --json      one JSON document
`;

export const command = defineCommand({
  help,
  options: { out: { type: 'string' } },
  async run({ values, positionals, path, tell }) {
    if (positionals.length > 0)
      throw new SprayoutError('usage', 'sprayout demo takes no arguments.', 'See sprayout demo --help.');
    const out = values.out ?? 'demo-out';
    await makeFolder(path(out));
    const jobFile = await readJob(join(packageRoot(), 'samples/demo/kettle-lid.job.json'));
    const { job } = jobFile;
    const pictures: string[] = [];
    const checks: string[] = [];
    for (const [i, { id, light }] of job.photos.entries()) {
      tell(`photo ${i + 1} of ${job.photos.length}: ${id} (${light})`);
      const photo = jobFile.photoPaths.get(id) as string;
      const measured = await measureIn(jobFile, id);
      checks.push(`  ${id}: ${checkSentence(measured.card.check)}`);
      const picture = join(out, `${basename(photo).replace(/\.\w+$/, '')}-measured.jpg`);
      pictures.push(picture);
    }
    tell('all photos together');
    const colours = await measureJobFile(jobFile);
    const comparison = compareJob(job, colours);
    for (const { message } of comparison.warnings) tell(`warning: ${message}`);
    return {
      json: { ...(comparisonDocument(comparison, colours) as object), pictures },
      words: [
        job.name,
        `How well the card was read\n${checks.join('\n')}`,
        comparedWords(comparison, namesOf(job)),
        `Pictures of what was measured\n${pictures.map((p) => `  ${p}`).join('\n')}`,
      ].join('\n\n'),
    };
  },
});

async function measureIn({ job, photoPaths, cardPaths }: JobFile, photo: string): Promise<MeasuredPhoto> {
  const { raster } = await readPhoto(photoPaths.get(photo) as string);
  const card = cardPaths.get(photo);
  return measurePhoto(raster, {
    panels: panelsIn(job, photo),
    ...(card !== undefined && { card: await readCard(card) }),
  });
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
