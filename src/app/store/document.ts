/** The open job: shown at once as edited, saved in the background, undone and redone, shared with other tabs. */
import { produce } from 'immer';
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { Job } from '../../../shared/schemas/job.ts';
import { type Attachments, cardsOf, commitJob, onJobNews, photoBlob, readJobRow } from '../library/jobs.ts';
import { storageProblem } from '../library/storage.ts';
import { applyChanges, type Change, changesBetween } from './changes.ts';
import type { AppProblem } from './work.ts';

export type Saved =
  | { readonly state: 'saved' }
  | { readonly state: 'saving' }
  | { readonly state: 'failed'; readonly problem: AppProblem };

export interface DocumentState {
  /** Key of the open job; undefined when none is open. */
  readonly id: string | undefined;
  /** The job with every edit made, saved or not. Undefined while it is being opened. */
  readonly job: Job | undefined;
  readonly saved: Saved;
  /** What undo and redo would undo and redo, in words. */
  readonly undoLabel: string | undefined;
  readonly redoLabel: string | undefined;
  /** Why the job could not be opened. */
  readonly problem: AppProblem | undefined;
}

interface Step {
  readonly label: string;
  readonly undo: readonly Change[];
  readonly redo: readonly Change[];
}

interface Pending {
  readonly changes: readonly Change[];
  readonly attachments: Attachments;
}

const NONE: DocumentState = {
  id: undefined,
  job: undefined,
  saved: { state: 'saved' },
  undoLabel: undefined,
  redoLabel: undefined,
  problem: undefined,
};

export const documentStore = createStore<DocumentState>(() => NONE);

/** Reads the open document in a component: `useDocument((d) => d.job)`. */
export function useDocument<T>(select: (state: DocumentState) => T): T {
  return useStore(documentStore, select);
}

/** The newest job known to be stored, its revision, and the edits not yet stored. */
let stored: { readonly job: Job; readonly revision: number } | undefined;
/** Never changed in place: a commit holds on to the part of it that it stores. */
let pending: readonly Pending[] = [];
let committing: Promise<void> | undefined;
let undone: Step[] = [];
let done: Step[] = [];
/** Photos and cards whose edit is not stored yet, or cannot be. */
const photosAtHand = new Map<string, Blob>();
let cards = new Map<string, CardDefinition>();

/** Opens a job of the library in place of the one open now. */
export async function openJob(id: string): Promise<void> {
  const before = documentStore.getState();
  if (before.id === id && before.job) return;
  forget();
  documentStore.setState({ ...NONE, id });
  try {
    const [row, ownCards] = await Promise.all([readJobRow(id), cardsOf(id)]);
    if (documentStore.getState().id !== id) return;
    if (!row) {
      documentStore.setState({
        problem: {
          code: 'job-gone',
          message: 'This job is not on this device.',
          hint: 'Choose another job, or bring this one in from a copy.',
        },
      });
      return;
    }
    stored = { job: row.job, revision: row.revision };
    cards = new Map(ownCards);
    documentStore.setState({ job: row.job });
  } catch (error) {
    if (documentStore.getState().id === id) documentStore.setState({ problem: storageProblem(error) });
  }
}

/** Opens a job that cannot be stored, or is not to be yet: everything works, and saving says that it does not. */
export function openUnsaved(job: Job, attachments: Attachments, problem: AppProblem): void {
  forget();
  keepAtHand(attachments);
  documentStore.setState({ ...NONE, id: crypto.randomUUID(), job, saved: { state: 'failed', problem } });
}

export function closeJob(): void {
  forget();
  documentStore.setState(NONE);
}

function forget(): void {
  stored = undefined;
  pending = [];
  committing = undefined;
  done = [];
  undone = [];
  photosAtHand.clear();
  cards = new Map();
}

/**
 * Edits the open job. `recipe` changes a draft in place and finds things by id (`panelIn(draft, 'p4')`); it must be
 * pure. `label` names the edit for undo: "Rename panel". Photos and cards that the edit brings are stored with it, in
 * one transaction. Shown at once; resolves when it is stored or has failed to be.
 */
export async function edit(
  label: string,
  recipe: (draft: Job) => void,
  attachments: Attachments = {},
): Promise<void> {
  const { job } = documentStore.getState();
  if (!job) return;
  const next = produce(job, (draft) => {
    recipe(draft);
  });
  const redo = changesBetween(job, next);
  if (redo.length === 0 && !attachments.photos && !attachments.cards) return;
  done.push({ label, redo, undo: changesBetween(next, job) });
  undone = [];
  await make(next, { changes: redo, attachments });
}

export async function undo(): Promise<void> {
  const step = done.pop();
  const { job } = documentStore.getState();
  if (!step || !job) return;
  undone.push(step);
  await make(applyChanges(job, step.undo), { changes: step.undo, attachments: {} });
}

export async function redo(): Promise<void> {
  const step = undone.pop();
  const { job } = documentStore.getState();
  if (!step || !job) return;
  done.push(step);
  await make(applyChanges(job, step.redo), { changes: step.redo, attachments: {} });
}

/** Tries once more to store what could not be stored. */
export async function retrySaving(): Promise<void> {
  if (pending.length > 0) await commitAll();
}

/** A photo of the open job, stored or not. */
export async function openPhoto(photoId: string): Promise<Blob | undefined> {
  const { id } = documentStore.getState();
  return photosAtHand.get(photoId) ?? (id === undefined ? undefined : photoBlob(id, photoId));
}

/** The card definitions that the open job's photos name, by path. */
export function openCards(): ReadonlyMap<string, CardDefinition> {
  return cards;
}

function keepAtHand({ photos = [], cards: brought = [] }: Attachments): void {
  for (const { id, blob } of photos) photosAtHand.set(id, blob);
  for (const { path, card } of brought) cards.set(path, card);
}

async function make(next: Job, edit: Pending): Promise<void> {
  pending = [...pending, edit];
  keepAtHand(edit.attachments);
  documentStore.setState({
    job: next,
    saved: { state: 'saving' },
    undoLabel: done.at(-1)?.label,
    redoLabel: undone.at(-1)?.label,
  });
  await commitAll();
}

/** Stores what is pending, one transaction after the other, until nothing is left or one fails. */
function commitAll(): Promise<void> {
  committing ??= commitPending().finally(() => {
    committing = undefined;
  });
  return committing;
}

async function commitPending(): Promise<void> {
  const { id } = documentStore.getState();
  while (id !== undefined && pending.length > 0 && documentStore.getState().id === id) {
    const batch = pending;
    const attachments: Attachments = {
      photos: batch.flatMap((p) => p.attachments.photos ?? []),
      cards: batch.flatMap((p) => p.attachments.cards ?? []),
    };
    const changes = batch.flatMap((p) => p.changes);
    try {
      const row = await commitJob(id, (newest) => applyChanges(newest.job, changes), attachments);
      if (documentStore.getState().id !== id) return;
      if (!row) throw new DOMException('the job was deleted in another window', 'NotFoundError');
      stored = { job: row.job, revision: row.revision };
      pending = pending.slice(batch.length);
      for (const photo of attachments.photos ?? []) photosAtHand.delete(photo.id);
      show(pending.length > 0 ? { state: 'saving' } : { state: 'saved' });
    } catch (error) {
      if (documentStore.getState().id === id)
        documentStore.setState({ saved: { state: 'failed', problem: storageProblem(error) } });
      return;
    }
  }
}

/** Shows the stored job with what is not stored yet; the same object when nothing came from elsewhere. */
function show(saved: Saved): void {
  if (!stored) return;
  const next = applyChanges(
    stored.job,
    pending.flatMap((p) => p.changes),
  );
  const { job } = documentStore.getState();
  const changed = changesBetween(job, next).length > 0;
  documentStore.setState({ saved, ...(changed && { job: next }) });
}

/** Another tab stored something: take it in, under what is pending here. */
async function hear({ job: id, revision }: { job: string; revision: number }): Promise<void> {
  if (id !== documentStore.getState().id || !stored || revision <= stored.revision) return;
  const [row, ownCards] = await Promise.all([readJobRow(id), cardsOf(id)]);
  if (documentStore.getState().id !== id) return;
  if (!row) {
    documentStore.setState({
      job: undefined,
      problem: {
        code: 'job-gone',
        message: 'This job was deleted in another window.',
        hint: 'Choose another job.',
      },
    });
    return;
  }
  if (row.revision <= stored.revision) return;
  stored = { job: row.job, revision: row.revision };
  for (const [path, card] of ownCards) cards.set(path, card);
  show(documentStore.getState().saved);
}

onJobNews((news) => {
  hear(news).catch(() => {
    // the news comes again with the next edit
  });
});
