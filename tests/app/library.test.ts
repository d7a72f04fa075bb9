import 'fake-indexeddb/auto';
import { beforeEach, describe, expect, it } from 'vitest';
import { database } from '../../src/app/library/database.ts';
import {
  cardsOf,
  copyJob,
  createJob,
  deleteJob,
  eraseLongDeleted,
  KEPT_DAYS,
  listDeletedJobs,
  listJobs,
  photoBlob,
  putBackJob,
  readJobRow,
  renameJob,
} from '../../src/app/library/jobs.ts';
import { forgetIndex, nearestPanels, storeColours } from '../../src/app/library/nearest.ts';
import { storageProblem } from '../../src/app/library/storage.ts';
import { emptyJob } from '../../src/app/store/find.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';

const DAY_MS = 86_400_000;
let id = '';

beforeEach(async () => {
  await Promise.all(database.tables.map((t) => t.clear()));
  forgetIndex();
  id = await createJob(
    {
      ...emptyJob('Kettle'),
      photos: [{ id: 'f1', file: 'a.jpg', light: 'sun', view: 'face', card: 'bench.card.json' }],
    },
    {
      photos: [{ id: 'f1', blob: new Blob(['pixels']) }],
      cards: [{ path: 'bench.card.json', card: OWN_CARD }],
    },
  );
  await storeColours({ job: id, white: 'D50/2', ids: ['p1'], lab: Float32Array.of(40, 50, 30) });
});

const names = async (): Promise<string[]> => (await listJobs()).map((r) => r.job.name);

describe('the library', () => {
  it('takes a deleted job out of the list and the search, and puts it back whole', async () => {
    await deleteJob(id);
    forgetIndex();
    expect(await names()).toEqual([]);
    expect((await listDeletedJobs()).map((r) => r.id)).toEqual([id]);
    expect(await nearestPanels([40, 50, 30])).toEqual([]);
    await putBackJob(id);
    forgetIndex();
    expect(await names()).toEqual(['Kettle']);
    expect(await listDeletedJobs()).toEqual([]);
    expect(await (await photoBlob(id, 'f1'))?.text()).toBe('pixels');
    expect((await nearestPanels([40, 50, 30])).map((n) => n.job)).toEqual([id]);
  });

  it('erases a deleted job with all that belongs to it when its days are over, and no other', async () => {
    const other = await createJob(emptyJob('Door'));
    await deleteJob(id);
    await eraseLongDeleted(Date.now() + (KEPT_DAYS - 1) * DAY_MS);
    expect(await readJobRow(id)).toBeDefined();
    await eraseLongDeleted(Date.now() + (KEPT_DAYS + 1) * DAY_MS);
    expect(await readJobRow(id)).toBeUndefined();
    expect(await photoBlob(id, 'f1')).toBeUndefined();
    expect((await cardsOf(id)).size).toBe(0);
    expect(await database.colours.count()).toBe(0);
    expect((await listJobs()).map((r) => r.id)).toEqual([other]);
  });

  it('copies a job with photos, cards and colours; the copy is a job of its own', async () => {
    const copy = (await copyJob(id, 'Kettle, second go')) as string;
    expect((await names()).sort()).toEqual(['Kettle', 'Kettle, second go']);
    expect(await (await photoBlob(copy, 'f1'))?.text()).toBe('pixels');
    expect([...(await cardsOf(copy)).keys()]).toEqual(['bench.card.json']);
    await renameJob(copy, 'Lid');
    expect((await names()).sort()).toEqual(['Kettle', 'Lid']);
    expect(await copyJob('no such job', 'x')).toBeUndefined();
  });

  it('searches only colours stated under the same white', async () => {
    await storeColours({ job: 'other', white: 'D65/10', ids: ['p1'], lab: Float32Array.of(40, 50, 30) });
    expect((await nearestPanels([40, 50, 30])).map((n) => n.job)).toEqual([id]);
    expect((await nearestPanels([40, 50, 30], 5, 'D65/10')).map((n) => n.job)).toEqual(['other']);
  });
});

describe('a failed storing', () => {
  it.each([
    ['storage-full', { name: 'QuotaExceededError' }],
    ['storage-full', { name: 'AbortError', inner: { name: 'QuotaExceededError' } }],
    ['storage-full', { name: 'BulkError', failures: [{ name: 'QuotaExceededError' }] }],
    ['storage-denied', { name: 'OpenFailedError', inner: { name: 'SecurityError' } }],
    ['storage-denied', { name: 'MissingAPIError' }],
    ['storage-failed', { name: 'DataError', message: 'odd' }],
  ])('is told as %s for %o, with a way out', (code, thrown) => {
    const problem = storageProblem(thrown);
    expect(problem.code).toBe(code);
    expect(problem.message).toMatch(/^Not saved/);
    expect(problem.hint).toMatch(/copy/i);
  });
});
