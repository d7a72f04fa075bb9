/** The card to print, from the first screen and from a job without photos, with and without a network. */
import { readFile } from 'node:fs/promises';
import { PDFDocument } from 'pdf-lib';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { auditOf, chooseTheme, type Harness, type OpenPage, PHONE, startHarness } from './harness.ts';

let harness: Harness;
let open: OpenPage;

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
  open = await harness.open();
});
afterAll(() => harness.close());

/** Opens what to do without a card. */
const ask = (page: Page): Promise<void> =>
  page.getByRole('button', { name: 'No card at hand? Print one' }).click();

async function saved(page: Page, paper: 'A4' | 'letter'): Promise<{ name: string; bytes: Buffer }> {
  const [download] = await Promise.all([
    page.waitForEvent('download', { timeout: 60_000 }),
    page.getByRole('button', { name: `Save the card to print, ${paper}` }).click(),
  ]);
  return { name: download.suggestedFilename(), bytes: await readFile(await download.path()) };
}

describe('the card to print', () => {
  it('is saved from the first screen as a PDF of the paper named', async () => {
    const { page, elsewhere, errors } = open;
    await ask(page);
    // ISO 216 and ANSI/ASME Y14.1, mm
    for (const [paper, size] of [
      ['A4', [210, 297]],
      ['letter', [215.9, 279.4]],
    ] as const) {
      const { name, bytes } = await saved(page, paper);
      expect(name).toMatch(/\.pdf$/);
      expect(bytes.subarray(0, 5).toString('latin1')).toBe('%PDF-');
      const { width, height } = (await PDFDocument.load(bytes)).getPage(0).getSize();
      expect([width, height].map((points) => (25.4 * points) / 72)).toEqual(
        size.map((mm) => expect.closeTo(mm, 1)),
      );
    }
    expect(elsewhere).toEqual([]);
    expect(errors).toEqual([]);
  });

  it('is said how to print it: matt paper, true size, dried', async () => {
    const told = open.page.getByRole('region', { name: 'The card to print' });
    for (const words of ['matt paper', '100 %', 'dry']) expect(await told.textContent()).toContain(words);
  });

  it('is there in a job without photos, and without a network', async () => {
    const { page, context } = await harness.open({ viewport: { ...PHONE, width: 360 } });
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    await context.setOffline(true);
    await page.getByRole('button', { name: 'Start a job' }).click();
    await page.waitForURL(/#\/photos\//);
    await ask(page);
    const { bytes } = await saved(page, 'A4');
    expect(bytes.subarray(0, 5).toString('latin1')).toBe('%PDF-');
    for (const theme of ['booth', 'judging'] as const) {
      await chooseTheme(page, theme);
      expect(await auditOf(page)).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
    }
    await context.close();
  });
});
