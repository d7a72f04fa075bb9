/** The open job: shown at once as edited, saved in the background, undone and redone, shared with other tabs. */
import { produce } from 'immer';
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { Job } from '../../../shared/schemas/job.ts';
import { type Attachments, cardsOf, onJobNews, photoBlob, readJobRow } from '../library/jobs.ts';
import { storageProblem } from '../library/storage.ts';
import { applyChanges, type Change, changesBetween } from './changes.ts';
import {
  isStored,
  type OpenJob,
  openedJob,
  rebase,
  type Saved,
  storePending,
  takeEdit,
  unstoredJob,
} from './open-job.ts';
import type { AppProblem } from './work.ts';

export type { Saved } from './open-job.ts';

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
  /** Jobs of this window that could not be stored, also those that were left: nothing else has them. */
  readonly unsaved: readonly UnsavedJob[];
}

export interface UnsavedJob {
  readonly id: string;
  readonly job: Job;
  readonly problem: AppProblem;
}

const NONE = {
  id: undefined,
  job: undefined,
  saved: { state: 'saved' },
  undoLabel: undefined,
  redoLabel: undefined,
  problem: undefined,
} as const;

export const documentStore = createStore<DocumentState>(() => ({ ...NONE, unsaved: [] }));

/** Reads the open document in a component: `useDocument((d) => d.job)`. */
export function useDocument<T>(select: (state: DocumentState) => T): T {
  return useStore(documentStore, select);
}

let open: OpenJob | undefined;
/** Jobs left before everything of them was stored. */
const left = new Map<string, OpenJob>();

/** Opens a job of the library in place of the one open now. */
export async function openJob(id: string): Promise<void> {
  if (open?.id === id) return;
  leave();
  const unstored = left.get(id);
  if (unstored) return take(unstored);
  documentStore.setState({ ...NONE, id });
  try {
    const [row, ownCards] = await Promise.all([readJobRow(id), cardsOf(id)]);
    if (documentStore.getState().id !== id || open) return;
    if (!row || row.deleted_ms !== undefined) documentStore.setState({ problem: row ? DELETED : UNKNOWN });
    else take(openedJob(row, new Map(ownCards)));
  } catch (error) {
    if (documentStore.getState().id === id) documentStore.setState({ problem: storageProblem(error) });
  }
}

const UNKNOWN: AppProblem = {
  code: 'job-gone',
  message: 'This job is not on this device.',
  hint: 'Choose another job, or bring this one in from a copy.',
};
const DELETED: AppProblem = {
  code: 'job-gone',
  message: 'This job was deleted.',
  hint: 'Nothing of it is lost: put it back under “Storage” on the page of all jobs.',
};

/**
 * Opens a job that cannot be stored: everything works, and saving says that it does not. Returns its key, by which it
 * can be gone to as long as the window lives.
 */
export function openUnsaved(job: Job, attachments: Attachments, problem: AppProblem): string {
  leave();
  const unstored = unstoredJob(job, attachments, problem);
  take(unstored);
  return unstored.id;
}

export function closeJob(): void {
  leave();
  documentStore.setState(NONE);
}

/** Lets a job go that could not be stored. */
export function discardUnsaved(id: string): void {
  left.delete(id);
  if (open?.id === id) {
    open = undefined;
    documentStore.setState(NONE);
  }
  tellUnsaved();
}

/** Puts the open job away; what is not stored of it stays here, and goes on being stored. */
function leave(): void {
  if (open && !isStored(open)) left.set(open.id, open);
  open = undefined;
}

function take(next: OpenJob): void {
  left.delete(next.id);
  open = next;
  documentStore.setState({ ...NONE, id: next.id });
  show(next);
}

/** Shows what became of a job, open or left. */
function show(changed: OpenJob): void {
  if (changed === open)
    documentStore.setState({
      job: changed.job,
      saved: changed.saved,
      undoLabel: changed.done.at(-1)?.label,
      redoLabel: changed.undone.at(-1)?.label,
    });
  else if (isStored(changed)) left.delete(changed.id);
  tellUnsaved();
}

function tellUnsaved(): void {
  const failed = [...(open ? [open] : []), ...left.values()].flatMap(({ id, job, saved }): UnsavedJob[] =>
    saved.state === 'failed' ? [{ id, job, problem: saved.problem }] : [],
  );
  if (failed.length > 0 || documentStore.getState().unsaved.length > 0)
    documentStore.setState({ unsaved: failed });
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
  if (!open) return;
  const { job } = open;
  const next = produce(job, (draft) => {
    recipe(draft);
  });
  const redo = changesBetween(job, next);
  if (redo.length === 0 && !attachments.photos && !attachments.cards) return;
  open.done.push({ label, redo, undo: changesBetween(next, job) });
  open.undone = [];
  await make(open, next, redo, attachments);
}

export async function undo(): Promise<void> {
  const step = open?.done.pop();
  if (!open || !step) return;
  open.undone.push(step);
  await make(open, applyChanges(open.job, step.undo), step.undo);
}

export async function redo(): Promise<void> {
  const step = open?.undone.pop();
  if (!open || !step) return;
  open.done.push(step);
  await make(open, applyChanges(open.job, step.redo), step.redo);
}

async function make(
  on: OpenJob,
  next: Job,
  changes: readonly Change[],
  attachments: Attachments = {},
): Promise<void> {
  takeEdit(on, next, changes, attachments);
  show(on);
  await storePending(on, show);
}

/** Tries once more to store what could not be stored: of the open job, or of one that was left. */
export async function retrySaving(id = open?.id): Promise<void> {
  const unstored = open?.id === id ? open : left.get(id ?? '');
  if (!unstored || isStored(unstored)) return;
  unstored.saved = { state: 'saving' };
  show(unstored);
  await storePending(unstored, show);
}

/** A photo of a job, stored or not; of the open job when no other is named. */
export async function openPhoto(photoId: string, jobId = open?.id): Promise<Blob | undefined> {
  const here = jobInHand(jobId);
  return here?.photosAtHand.get(photoId) ?? (jobId === undefined ? undefined : photoBlob(jobId, photoId));
}

/** The card definitions that the open job's photos name, by path. */
export function openCards(): ReadonlyMap<string, CardDefinition> {
  return open?.cards ?? new Map();
}

/** A job that this window holds, open or left unstored. */
export function jobInHand(id: string | undefined): OpenJob | undefined {
  return open && open.id === id ? open : left.get(id ?? '');
}

/** Another tab stored something: take it in, under what is pending here. */
async function hear({ job: id, revision }: { job: string; revision: number }): Promise<void> {
  const heard = open;
  if (id !== heard?.id || !heard.stored || revision <= heard.stored.revision) return;
  const [row, ownCards] = await Promise.all([readJobRow(id), cardsOf(id)]);
  if (open !== heard) return;
  if ((!row || row.deleted_ms !== undefined) && isStored(heard)) {
    open = undefined;
    documentStore.setState({ ...NONE, id, problem: row ? DELETED : UNKNOWN });
    return;
  }
  if (!row || row.revision <= heard.stored.revision) return;
  heard.stored = { job: row.job, revision: row.revision };
  for (const [path, card] of ownCards) heard.cards.set(path, card);
  rebase(heard);
  show(heard);
}

onJobNews((news) => {
  hear(news).catch(() => {
    // the news comes again with the next edit
  });
});
