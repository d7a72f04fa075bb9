/** The sample job: fetched from the app's own folder when it is asked for. */
import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { Job } from '../../../shared/schemas/job.ts';
import { type Attachments, createJob } from '../library/jobs.ts';
import { storageProblem } from '../library/storage.ts';
import { openUnsaved } from '../store/document.ts';
import { bench } from '../worker/client.ts';

const FOLDER = './demo/';
const JOB_FILE = 'kettle-lid.job.json';

async function fetched(file: string): Promise<Response> {
  const response = await fetch(`${FOLDER}${file}`);
  if (!response.ok) throw new Error(`${file}: ${response.status}`);
  return response;
}

/** Brings the sample job into the library, or opens it unsaved where nothing can be stored. Returns its key. */
export async function bringDemo(): Promise<string> {
  const parsed = await bench().parseJob(await (await fetched(JOB_FILE)).json(), 'of the demo');
  if (!parsed.ok) throw new Error(parsed.problem.message);
  const job: Job = parsed.value;
  const cardFiles = new Set(job.photos.flatMap((p) => (p.card === undefined ? [] : [p.card])));
  const [photos, cards] = await Promise.all([
    Promise.all(job.photos.map(async ({ id, file }) => ({ id, blob: await (await fetched(file)).blob() }))),
    Promise.all([...cardFiles].map(async (path) => ({ path, card: await demoCard(path) }))),
  ]);
  const attachments: Attachments = { photos, cards };
  try {
    return await createJob(job, attachments);
  } catch (error) {
    return openUnsaved(job, attachments, storageProblem(error));
  }
}

async function demoCard(path: string): Promise<CardDefinition> {
  const parsed = await bench().parseCard(await (await fetched(path)).json(), path);
  if (!parsed.ok) throw new Error(parsed.problem.message);
  return parsed.value;
}
