/** The board in a real browser: drawn, saved, and found again by its code. */
import { readFile } from 'node:fs/promises';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import {
  auditOf,
  chooseTheme,
  type Harness,
  type OpenPage,
  openOnePhoto,
  startHarness,
  visit,
} from './harness.ts';

let harness: Harness;
let open: OpenPage;

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
  open = await harness.open();
  await openOnePhoto(open.page);
  await visit(open.page, 'Board');
  await open.page.locator('.board-pages img').first().waitFor({ timeout: 60_000 });
});
afterAll(() => harness.close());

describe('the board', () => {
  it('is saved as a PDF, a web page and pictures, without asking anybody', async () => {
    const { page, elsewhere, errors } = open;
    for (const [button, begins] of [
      ['Save as PDF to print', '%PDF-'],
      ['Save as web page to send', '<!doctype html>'],
      ['Save as pictures to post', '\x89PNG'],
    ] as const) {
      const [download] = await Promise.all([
        page.waitForEvent('download', { timeout: 60_000 }),
        page.getByRole('button', { name: button }).click(),
      ]);
      const bytes = await readFile(await download.path());
      expect(bytes.subarray(0, begins.length).toString('latin1').toLowerCase()).toBe(begins.toLowerCase());
    }
    expect(elsewhere).toEqual([]);
    expect(errors).toEqual([]);
  });

  it('is found again by the code on it', async () => {
    const { page } = open;
    const photo = await page.locator('.board-pages img').first().screenshot();
    const bench = await sharp(photo)
      .resize(1200)
      .extend({ top: 60, bottom: 80, left: 90, right: 70, background: '#8a8478' });
    await page.getByRole('button', { name: 'Find the record of a printed board' }).click();
    await page.locator('.board-find input[type=file]').setInputFiles({
      name: 'board.png',
      mimeType: 'image/png',
      buffer: await bench.png().toBuffer(),
    });
    await page.waitForURL(/#\/match\//, { timeout: 30_000 });
    await visit(page, 'Board');
  });

  it('says beside the notes that they do not all fit, as long as there are any', async () => {
    const { page } = open;
    const notes = page.getByRole('textbox', { name: 'Notes' });
    const said = page.getByText(/The notes of the board do not all fit on/);
    await notes.fill('Rubbed down and cleared again. '.repeat(60));
    await notes.blur();
    await said.waitFor({ timeout: 30_000 });
    await notes.fill('');
    await notes.blur();
    await said.waitFor({ state: 'detached', timeout: 30_000 });
  });

  it('says so when a photo has no code', async () => {
    const { page } = open;
    await page.getByRole('button', { name: 'Find the record of a printed board' }).click();
    const plain = sharp({ create: { width: 600, height: 400, channels: 3, background: '#777' } });
    await page.locator('.board-find input[type=file]').setInputFiles({
      name: 'plain.png',
      mimeType: 'image/png',
      buffer: await plain.png().toBuffer(),
    });
    await page.getByText('No code was found in the photo.').waitFor();
  });

  it('is accessible in both surroundings', async () => {
    for (const theme of ['booth', 'judging'] as const) {
      await chooseTheme(open.page, theme);
      expect(await auditOf(open.page)).toEqual([]);
    }
  });
});
