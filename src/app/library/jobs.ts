/** Jobs in the library: list, open, commit, copy, delete and put back. */
import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { Job } from '../../../shared/schemas/job.ts';
import { database, type JobRow } from './database.ts';

/** Files that come with an edit, stored in the same transaction as the edit itself. */
export interface Attachments {
  readonly photos?: readonly { readonly id: string; readonly blob: Blob }[];
  readonly cards?: readonly { readonly path: string; readonly card: CardDefinition }[];
}

/** All jobs that are not deleted, the one changed last first. */
export async function listJobs(): Promise<JobRow[]> {
  const rows = await database.jobs.orderBy('changed_ms').reverse().toArray();
  return rows.filter((r) => r.deleted_ms === undefined);
}

/** Deleted jobs that can still be put back, the one deleted last first. */
export async function listDeletedJobs(): Promise<JobRow[]> {
  return database.jobs.where('deleted_ms').above(0).reverse().sortBy('deleted_ms');
}

export async function readJobRow(id: string): Promise<JobRow | undefined> {
  return database.jobs.get(id);
}

/** Stores a new job with its photos and cards, all or nothing. Returns its key. */
export async function createJob(
  job: Job,
  attachments: Attachments = {},
  id: string = crypto.randomUUID(),
): Promise<string> {
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

export async function renameJob(id: string, name: string): Promise<void> {
  await commitJob(id, ({ job }) => ({ ...job, name }));
}

/** Copies a job with all that belongs to it. Returns the copy's key; undefined when the job is gone. */
export async function copyJob(id: string, name: string): Promise<string | undefined> {
  const { jobs, photos, cards, colours } = database;
  const copy = crypto.randomUUID();
  const isCopied = await database.transaction('rw', jobs, photos, cards, colours, async () => {
    const row = await jobs.get(id);
    if (!row) return false;
    const now = Date.now();
    await jobs.add({
      id: copy,
      revision: 1,
      job: { ...row.job, name },
      created_ms: now,
      changed_ms: now,
    });
    await photos.bulkAdd((await photos.where('job').equals(id).toArray()).map((p) => ({ ...p, job: copy })));
    await cards.bulkAdd((await cards.where('job').equals(id).toArray()).map((c) => ({ ...c, job: copy })));
    const known = await colours.get(id);
    if (known) await colours.add({ ...known, job: copy });
    return true;
  });
  if (!isCopied) return undefined;
  announce({ job: copy, revision: 1 });
  return copy;
}

/** Takes a job out of the list. It keeps everything, and can be put back until it is erased. */
export async function deleteJob(id: string): Promise<void> {
  await database.jobs.update(id, { deleted_ms: Date.now() });
  announce({ job: id, revision: Number.POSITIVE_INFINITY });
}

export async function putBackJob(id: string): Promise<void> {
  await database.jobs.update(id, { deleted_ms: undefined });
  announce({ job: id, revision: Number.POSITIVE_INFINITY });
}

/** Erases jobs and all that belongs to them, for good. */
export async function eraseJobs(ids: readonly string[]): Promise<void> {
  const { jobs, photos, cards, colours } = database;
  await database.transaction('rw', jobs, photos, cards, colours, async () => {
    await jobs.bulkDelete([...ids]);
    await photos.where('job').anyOf(ids).delete();
    await cards.where('job').anyOf(ids).delete();
    await colours.bulkDelete([...ids]);
  });
  for (const job of ids) announce({ job, revision: Number.POSITIVE_INFINITY });
}

/** How long a deleted job can be put back, days. */
export const KEPT_DAYS = 30;

/** Erases what was deleted longer ago than jobs are kept. */
export async function eraseLongDeleted(now_ms = Date.now()): Promise<void> {
  const before = now_ms - KEPT_DAYS * 86_400_000;
  const ids = await database.jobs.where('deleted_ms').between(1, before).primaryKeys();
  if (ids.length > 0) await eraseJobs(ids);
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
