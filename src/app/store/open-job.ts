/** One job as it lives in this window: edited at once, stored in the background, kept until it is stored. */
import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { Job } from '../../../shared/schemas/job.ts';
import type { JobRow } from '../library/database.ts';
import { type Attachments, commitJob, createJob } from '../library/jobs.ts';
import { storageProblem } from '../library/storage.ts';
import { applyChanges, type Change, changesBetween } from './changes.ts';
import type { AppProblem } from './work.ts';

export type Saved =
  | { readonly state: 'saved' }
  | { readonly state: 'saving' }
  | { readonly state: 'failed'; readonly problem: AppProblem };

/** An edit that can be undone and redone. */
export interface Step {
  readonly label: string;
  readonly undo: readonly Change[];
  readonly redo: readonly Change[];
}

interface Pending {
  readonly changes: readonly Change[];
  readonly attachments: Attachments;
}

export interface OpenJob {
  readonly id: string;
  /** With every edit made, stored or not. */
  job: Job;
  saved: Saved;
  /** The newest job known to be stored; undefined for one that never was. */
  stored: { readonly job: Job; readonly revision: number } | undefined;
  /** Edits not stored yet. Never changed in place: a commit holds on to the part of it that it stores. */
  pending: readonly Pending[];
  committing: Promise<void> | undefined;
  readonly done: Step[];
  undone: Step[];
  /** Photos whose edit is not stored yet, or cannot be. */
  readonly photosAtHand: Map<string, Blob>;
  readonly cards: Map<string, CardDefinition>;
}

const FRESH = { pending: [], committing: undefined, undone: [] } as const;

/** A job out of the library. */
export function openedJob({ id, job, revision }: JobRow, cards: OpenJob['cards']): OpenJob {
  return {
    ...FRESH,
    id,
    job,
    saved: { state: 'saved' },
    stored: { job, revision },
    undone: [],
    done: [],
    photosAtHand: new Map(),
    cards: new Map(cards),
  };
}

/** A job that could not be stored, for the reason given. */
export function unstoredJob(job: Job, attachments: Attachments, problem: AppProblem): OpenJob {
  const open: OpenJob = {
    ...FRESH,
    id: crypto.randomUUID(),
    job,
    saved: { state: 'failed', problem },
    stored: undefined,
    undone: [],
    done: [],
    photosAtHand: new Map(),
    cards: new Map(),
  };
  keepAtHand(open, attachments);
  return open;
}

export const isStored = (open: OpenJob): boolean => open.saved.state === 'saved' && open.pending.length === 0;

function keepAtHand(open: OpenJob, { photos = [], cards = [] }: Attachments): void {
  for (const { id, blob } of photos) open.photosAtHand.set(id, blob);
  for (const { path, card } of cards) open.cards.set(path, card);
}

/** Shows an edit's outcome and puts the edit among those to be stored. */
export function takeEdit(
  open: OpenJob,
  next: Job,
  changes: readonly Change[],
  attachments: Attachments,
): void {
  open.job = next;
  // what failed goes on being said until it is stored
  if (open.saved.state !== 'failed') open.saved = { state: 'saving' };
  open.pending = [...open.pending, { changes, attachments }];
  keepAtHand(open, attachments);
}

/**
 * Stores what is pending, one transaction after the other, until nothing is left or one fails. `changed` is called
 * whenever job or saved state changed.
 */
export function storePending(open: OpenJob, changed: (open: OpenJob) => void): Promise<void> {
  open.committing ??= storeAll(open, changed).finally(() => {
    open.committing = undefined;
  });
  return open.committing;
}

async function storeAll(open: OpenJob, changed: (open: OpenJob) => void): Promise<void> {
  while (open.pending.length > 0 || !open.stored) {
    const batch = open.pending;
    try {
      const row = open.stored ? await storeEdits(open.id, batch) : await storeWhole(open);
      if (!row) {
        open.stored = undefined;
        open.saved = { state: 'failed', problem: ERASED };
        return changed(open);
      }
      open.stored = row;
      open.pending = open.pending.slice(batch.length);
      for (const { attachments } of batch)
        for (const photo of attachments.photos ?? []) open.photosAtHand.delete(photo.id);
      open.saved = { state: open.pending.length > 0 ? 'saving' : 'saved' };
      rebase(open);
      changed(open);
    } catch (error) {
      open.saved = { state: 'failed', problem: storageProblem(error) };
      return changed(open);
    }
  }
}

/** One transaction for all edits of a batch, on the job as any window stored it last. */
function storeEdits(id: string, batch: readonly Pending[]): Promise<JobRow | undefined> {
  const changes = batch.flatMap((p) => p.changes);
  return commitJob(id, (newest) => applyChanges(newest.job, changes), {
    photos: batch.flatMap((p) => p.attachments.photos ?? []),
    cards: batch.flatMap((p) => p.attachments.cards ?? []),
  });
}

async function storeWhole({ id, job, photosAtHand, cards }: OpenJob): Promise<OpenJob['stored']> {
  await createJob(
    job,
    {
      photos: [...photosAtHand].map(([photo, blob]) => ({ id: photo, blob })),
      cards: [...cards].map(([path, card]) => ({ path, card })),
    },
    id,
  );
  return { job, revision: 1 };
}

/** The stored job with what is not stored yet; the same object when nothing came from elsewhere. */
export function rebase(open: OpenJob): void {
  if (!open.stored) return;
  const next = applyChanges(
    open.stored.job,
    open.pending.flatMap((p) => p.changes),
  );
  if (changesBetween(open.job, next).length > 0) open.job = next;
}

const ERASED: AppProblem = {
  code: 'job-gone',
  message: 'Not saved: this job was erased in another window. What you see is still here.',
  hint: 'Try again to store it anew, or keep a copy of it.',
};
