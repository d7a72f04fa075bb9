/** Jobs in the library: list, open, commit, delete. */
import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { Job } from '../../../shared/schemas/job.ts';
import { database, type JobRow } from './database.ts';

/** Files that come with an edit, stored in the same transaction as the edit itself. */
export interface Attachments {
  readonly photos?: readonly { readonly id: string; readonly blob: Blob }[];
  readonly cards?: readonly { readonly path: string; readonly card: CardDefinition }[];
}

/** All jobs, the one changed last first. */
export async function listJobs(): Promise<JobRow[]> {
  return database.jobs.orderBy('changed_ms').reverse().toArray();
}

export async function readJobRow(id: string): Promise<JobRow | undefined> {
  return database.jobs.get(id);
}

/** Stores a new job with its photos and cards, all or nothing. Returns its key. */
export async function createJob(job: Job, attachments: Attachments = {}): Promise<string> {
  const id = crypto.randomUUID();
  const now = Date.now();
  await database.transaction('rw', database.jobs, database.photos, database.cards, async () => {
    await database.jobs.add({ id, revision: 1, job, created_ms: now, changed_ms: now });
    await putAttachments(id, attachments);
  });
  announce({ job: id, revision: 1 });
  return id;
}

/**
 * Commits an edit in one transaction: reads the newest stored job, lets `change` make the next one of it, stores it
 * with the attachments. Returns the row as stored; undefined when the job has been deleted meanwhile.
 */
export async function commitJob(
  id: string,
  change: (stored: JobRow) => Job,
  attachments: Attachments = {},
): Promise<JobRow | undefined> {
  const row = await database.transaction('rw', database.jobs, database.photos, database.cards, async () => {
    const stored = await database.jobs.get(id);
    if (!stored) return undefined;
    const next: JobRow = {
      ...stored,
      job: change(stored),
      revision: stored.revision + 1,
      changed_ms: Date.now(),
    };
    await database.jobs.put(next);
    await putAttachments(id, attachments);
    return next;
  });
  if (row) announce({ job: id, revision: row.revision });
  return row;
}

async function putAttachments(job: string, { photos = [], cards = [] }: Attachments): Promise<void> {
  if (photos.length > 0) await database.photos.bulkPut(photos.map((p) => ({ ...p, job })));
  if (cards.length > 0) await database.cards.bulkPut(cards.map((c) => ({ ...c, job })));
}

/** Deletes a job and all that belongs to it. */
export async function deleteJob(id: string): Promise<void> {
  const { jobs, photos, cards, colours } = database;
  await database.transaction('rw', jobs, photos, cards, colours, async () => {
    await jobs.delete(id);
    await photos.where('job').equals(id).delete();
    await cards.where('job').equals(id).delete();
    await colours.delete(id);
  });
  announce({ job: id, revision: Number.POSITIVE_INFINITY });
}

export async function photoBlob(job: string, id: string): Promise<Blob | undefined> {
  return (await database.photos.get([job, id]))?.blob;
}

/** The job's own card definitions by path. */
export async function cardsOf(job: string): Promise<ReadonlyMap<string, CardDefinition>> {
  const rows = await database.cards.where('job').equals(job).toArray();
  return new Map(rows.map((r) => [r.path, r.card]));
}

/** What one tab tells the others: this job now has this revision. */
export interface JobNews {
  readonly job: string;
  readonly revision: number;
}

const channel = typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('sprayout-jobs');
const listeners = new Set<(news: JobNews) => void>();
channel?.addEventListener('message', ({ data }: MessageEvent<JobNews>) => {
  for (const listener of listeners) listener(data);
});
// a listening channel keeps Node, where the tests run, from ending
(channel as { unref?: () => void } | undefined)?.unref?.();

function announce(news: JobNews): void {
  channel?.postMessage(news);
}

/** Hears what other tabs stored. Returns how to stop hearing. */
export function onJobNews(listener: (news: JobNews) => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
