/** Files that are no photos, or too much of one: refused in words, in their place, with the rest of the job untouched. */
import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { answersOf } from './console.ts';
import { type Harness, openOnePhoto, startHarness, studied } from './harness.ts';

let harness: Harness;
let page: Page;

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
  page = (await harness.open()).page;
  await openOnePhoto(page);
});
afterAll(() => harness.close());

/** Adds a file as a photo of the job and tells what came of it. */
async function refusalOf(id: string, bytes: Buffer): Promise<{ code: string; hint: string }> {
  await page.evaluate(
    async ([photo, base64]) => {
      const blob = new Blob([Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))]);
      await window.sprayout.edit(
        'Add photo',
        (d) => {
          d.photos.push({ id: photo, file: `photos/${photo}`, light: 'other', view: 'face' });
        },
        { photos: [{ id: photo, blob }] },
      );
    },
    [id, bytes.toString('base64')] as const,
  );
  await page.waitForFunction(
    (photo) => window.sprayout.resultsStore.getState().photos[photo]?.state === 'failed',
    id,
  );
  await studied(page);
  return page.evaluate((photo) => {
    const work = window.sprayout.resultsStore.getState().photos[photo];
    if (work?.state !== 'failed') throw new Error('it was not refused');
    return { code: work.problem.code, hint: work.problem.hint };
  }, id);
}

describe('a file that is no photo to measure', () => {
  it('is refused in words, and takes nothing else with it', async () => {
    const before = await answersOf(page);
    const small = sharp({ create: { width: 40, height: 30, channels: 3, background: '#808080' } });
    const jpeg = await small.clone().jpeg().toBuffer();
    const huge = await small.clone().png().toBuffer();
    huge.writeUInt32BE(20_000, 16);
    huge.writeUInt32BE(10_000, 20);
    const cases: readonly [string, Buffer, string][] = [
      ['words', Buffer.from('this is a letter, not a photo'), 'image-unsupported'],
      ['nothing', Buffer.alloc(0), 'file-empty'],
      ['200-megapixels', huge, 'image-too-large'],
      ['cut-short', jpeg.subarray(0, 200), 'image-broken'],
      ['grey', await small.clone().toColourspace('b-w').png().toBuffer(), 'image-colour-model'],
      ['tiff', await small.clone().tiff().toBuffer(), 'image-unsupported'],
      ['no-card', jpeg, 'card-not-found'],
    ];
    for (const [id, bytes, code] of cases) {
      const refusal = await refusalOf(id, bytes);
      expect([id, refusal.code]).toEqual([id, code]);
      expect(refusal.hint.length).toBeGreaterThan(10);
    }
    expect(await answersOf(page)).toEqual(before);
  });

  it('is gone again with one undo each', async () => {
    for (let n = (await photos()) ?? 0; n > 1; n--) await page.getByRole('button', { name: /^Undo/ }).click();
    await studied(page);
    expect(await photos()).toBe(1);
  });
});

const photos = (): Promise<number | undefined> =>
  page.evaluate(() => window.sprayout.documentStore.getState().job?.photos.length);

describe('two windows on one job', () => {
  it('show each other’s edits, and keep both', async () => {
    const second = await page.context().newPage();
    await second.goto(page.url());
    await studied(second);
    const rename = (on: Page, name: string): Promise<void> =>
      on.evaluate(
        (to) =>
          window.sprayout.edit('Rename job', (d) => {
            d.name = to;
          }),
        name,
      );
    const setCoats = (on: Page, coats: number): Promise<void> =>
      on.evaluate(
        (to) =>
          window.sprayout.edit('Coats', (d) => {
            d.panels[3].coats = to;
          }),
        coats,
      );
    await Promise.all([rename(page, 'Lid, second try'), setCoats(second, 7)]);
    for (const window of [page, second]) {
      await window.waitForFunction(() => {
        const { job, saved } = globalThis.window.sprayout.documentStore.getState();
        return job?.name === 'Lid, second try' && job.panels[3].coats === 7 && saved.state === 'saved';
      });
    }
    await second.close();
  });
});
