import { copyFile, mkdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Job } from '../../shared/schemas/job.ts';
import { parseJob } from '../../src/core/job/index.ts';

export const DEMO_FOLDER = fileURLToPath(new URL('../../samples/demo/', import.meta.url));

/** The demo job with what is seen in one of its photos; `file` when that is kept elsewhere, or as another file. */
export async function demoOfOnePhoto(photo: string, file = `${photo}.jpg`): Promise<Job> {
  const path = `${DEMO_FOLDER}kettle-lid.job.json`;
  const job = parseJob(JSON.parse(await readFile(path, 'utf8')), 'the demo');
  const seen = <T extends { measured: Job['panels'][number]['measured'] }>(thing: T): T => ({
    ...thing,
    measured: thing.measured.filter((m) => m.photo === photo),
  });
  return {
    ...job,
    photos: job.photos.filter((p) => p.id === photo).map((p) => ({ ...p, file })),
    panels: job.panels.map(seen).filter((p) => p.measured.length > 0),
    ...(job.target && { target: seen(job.target) }),
  };
}

/** Writes it into a folder with its photo and card; the path of the job. */
export async function writeDemoOfOnePhoto(folder: string, photo: string): Promise<string> {
  await mkdir(folder, { recursive: true });
  for (const file of [`${photo}.jpg`, 'bench-card.card.json'])
    await copyFile(join(DEMO_FOLDER, file), join(folder, file));
  const path = join(folder, 'lid.job.json');
  await writeFile(path, JSON.stringify(await demoOfOnePhoto(photo)));
  return path;
}
