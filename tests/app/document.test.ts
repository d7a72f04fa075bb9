import 'fake-indexeddb/auto';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { database } from '../../src/app/library/database.ts';
import {
  commitJob,
  createJob,
  deleteJob,
  eraseJobs,
  photoBlob,
  readJobRow,
} from '../../src/app/library/jobs.ts';
import {
  closeJob,
  discardUnsaved,
  documentStore,
  edit,
  emptyJob,
  openJob,
  openPhoto,
  openUnsaved,
  redo,
  retrySaving,
  undo,
} from '../../src/app/store/index.ts';

let id = '';

beforeEach(async () => {
  id = await createJob({ ...emptyJob('Kettle'), panels: [{ id: 'p1', coats: 2, measured: [] }] });
  await openJob(id);
});
afterEach(() => {
  vi.restoreAllMocks();
  closeJob();
});

const DENIED = { code: 'storage-denied', message: 'Not saved.', hint: 'Keep a copy.' };
const deny = () =>
  vi.spyOn(database.jobs, 'add').mockImplementation(() => {
    throw Object.assign(new Error('no'), { name: 'SecurityError' });
  });

const rename = (name: string): Promise<void> =>
  edit('Rename job', (d) => {
    d.name = name;
  });
const storedName = async (): Promise<string | undefined> => (await readJobRow(id))?.job.name;

describe('the open job', () => {
  it('shows an edit at once and says saved only when it is stored', async () => {
    const saving = rename('Lid');
    expect(documentStore.getState().job?.name).toBe('Lid');
    expect(documentStore.getState().saved.state).toBe('saving');
    await saving;
    expect(documentStore.getState().saved.state).toBe('saved');
    expect(await storedName()).toBe('Lid');
  });

  it('stores many quick edits in their order', async () => {
    await Promise.all(['a', 'b', 'c', 'd'].map(rename));
    expect(await storedName()).toBe('d');
    expect(documentStore.getState().saved.state).toBe('saved');
  });

  it('undoes and redoes, by name, and stores that too', async () => {
    await rename('Lid');
    expect(documentStore.getState().undoLabel).toBe('Rename job');
    await undo();
    expect(await storedName()).toBe('Kettle');
    expect(documentStore.getState().redoLabel).toBe('Rename job');
    await redo();
    expect(await storedName()).toBe('Lid');
  });

  it('loses neither edit when another window stored one first', async () => {
    await commitJob(id, ({ job }) => ({ ...job, panels: [{ ...job.panels[0], coats: 4 }] }));
    await rename('Lid');
    const row = await readJobRow(id);
    expect([row?.job.name, row?.job.panels[0].coats]).toEqual(['Lid', 4]);
    expect(documentStore.getState().job?.panels[0].coats).toBe(4);
  });

  it('undoes only its own edit after another window stored one', async () => {
    await rename('Lid');
    await commitJob(id, ({ job }) => ({ ...job, panels: [{ ...job.panels[0], coats: 4 }] }));
    await undo();
    const row = await readJobRow(id);
    expect([row?.job.name, row?.job.panels[0].coats]).toEqual(['Kettle', 4]);
  });

  it('stores a photo in the same transaction as the edit that adds it', async () => {
    await edit(
      'Add photo',
      (d) => {
        d.photos.push({ id: 'f1', file: 'photos/a.jpg', light: 'sun', view: 'face' });
      },
      { photos: [{ id: 'f1', blob: new Blob(['pixels']) }] },
    );
    expect((await readJobRow(id))?.job.photos.map((p) => p.id)).toEqual(['f1']);
    expect(await (await photoBlob(id, 'f1'))?.text()).toBe('pixels');
  });

  it('keeps everything on screen when storage is full, says so, and stores it when there is room again', async () => {
    const full = vi.spyOn(database.jobs, 'put').mockImplementation(() => {
      throw Object.assign(new Error('no room'), { name: 'QuotaExceededError' });
    });
    await edit(
      'Add photo',
      (d) => {
        d.photos.push({ id: 'f1', file: 'photos/a.jpg', light: 'sun', view: 'face' });
      },
      { photos: [{ id: 'f1', blob: new Blob(['pixels']) }] },
    );
    const { saved, job } = documentStore.getState();
    expect(saved.state === 'failed' && saved.problem.code).toBe('storage-full');
    expect(job?.photos).toHaveLength(1);
    expect(await (await openPhoto('f1'))?.text()).toBe('pixels');
    expect((await readJobRow(id))?.job.photos).toEqual([]);
    full.mockRestore();
    await retrySaving();
    expect(documentStore.getState().saved.state).toBe('saved');
    expect((await readJobRow(id))?.job.photos).toHaveLength(1);
    expect(await (await photoBlob(id, 'f1'))?.text()).toBe('pixels');
  });

  it('can be worked on where nothing may be stored, and is stored whole once it may', async () => {
    const denied = deny();
    const key = openUnsaved(
      emptyJob('Private'),
      { photos: [{ id: 'f1', blob: new Blob(['pixels']) }] },
      DENIED,
    );
    await rename('Still here');
    expect(documentStore.getState().job?.name).toBe('Still here');
    expect(documentStore.getState().saved.state).toBe('failed');
    expect(await (await openPhoto('f1'))?.text()).toBe('pixels');
    denied.mockRestore();
    await retrySaving();
    expect(documentStore.getState().saved.state).toBe('saved');
    expect((await readJobRow(key))?.job.name).toBe('Still here');
    expect(await (await photoBlob(key, 'f1'))?.text()).toBe('pixels');
  });

  it('is kept when it is left before it could be stored, and found again as it was', async () => {
    const denied = deny();
    const key = openUnsaved(emptyJob('Private'), {}, DENIED);
    await rename('Still here');
    await openJob(id);
    expect(documentStore.getState().job?.name).toBe('Kettle');
    expect(documentStore.getState().unsaved.map((u) => u.job.name)).toEqual(['Still here']);
    await openJob(key);
    expect(documentStore.getState().job?.name).toBe('Still here');
    expect(documentStore.getState().undoLabel).toBe('Rename job');
    closeJob();
    denied.mockRestore();
    await retrySaving(key);
    expect((await readJobRow(key))?.job.name).toBe('Still here');
    expect(documentStore.getState().unsaved).toEqual([]);
  });

  it('stores edits that were still on their way when it was left', async () => {
    const saving = [rename('a'), rename('b'), rename('c')];
    closeJob();
    await Promise.all(saving);
    expect(await storedName()).toBe('c');
  });

  it('is let go only when that is asked for', () => {
    deny();
    const key = openUnsaved(emptyJob('Private'), {}, DENIED);
    closeJob();
    expect(documentStore.getState().unsaved).toHaveLength(1);
    discardUnsaved(key);
    expect(documentStore.getState().unsaved).toEqual([]);
  });

  it('is stored anew, when asked, after another window erased it', async () => {
    await eraseJobs([id]);
    await rename('Lid');
    const { saved, job } = documentStore.getState();
    expect(saved.state === 'failed' && saved.problem.code).toBe('job-gone');
    expect(job?.name).toBe('Lid');
    await retrySaving();
    expect(await storedName()).toBe('Lid');
  });

  it('says plainly that a job is gone', async () => {
    closeJob();
    await deleteJob(id);
    await openJob(id);
    expect(documentStore.getState().problem?.code).toBe('job-gone');
  });
});
