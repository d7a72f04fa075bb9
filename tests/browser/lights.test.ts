/** The lights in a real browser: each panel beside the target in every light it was photographed in. */
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { jobOf } from './console.ts';
import {
  auditOf,
  chooseTheme,
  type Harness,
  type OpenPage,
  openDemo,
  PHONE,
  startHarness,
  visit,
} from './harness.ts';

let harness: Harness;
let open: OpenPage;

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
  open = await harness.open();
  await openDemo(open.page);
  await visit(open.page, 'Lights');
  await open.page.locator('.lights-table').waitFor({ timeout: 60_000 });
});
afterAll(() => harness.close());

describe('the lights', () => {
  it('show sun and shop light side by side, a verdict for each panel in words', async () => {
    const { page, errors } = open;
    expect(await page.locator('.lights-table thead th').allTextContents()).toEqual([
      'Panel',
      'In the sun',
      'Shop light',
    ]);
    const rows = page.locator('.lights-table tbody tr');
    expect(await rows.count()).toBe(12);
    for (const verdict of await page.locator('.lights-verdict').allTextContents())
      expect(['Holds', 'Parts', 'May part']).toContain(verdict);
    expect(await page.getByText('A camera is not an eye').isVisible()).toBe(true);
    expect(errors).toEqual([]);
  });

  it('call photos by name, so that two in the sun are told apart, and nothing by its id', async () => {
    const { page } = open;
    const list = page.locator('.lights-list').first();
    await page.evaluate(() =>
      window.sprayout.edit('Name photos', (draft) => {
        for (const [i, photo] of draft.photos.entries()) photo.name = `IMG_204${i}.jpg`;
      }),
    );
    await list.getByText('IMG_2041.jpg').waitFor({ timeout: 60_000 });
    const job = await jobOf(page);
    const places = job?.photos.map((p) => `${p.light === 'sun' ? 'In the sun' : 'Shop light'} (${p.name})`);
    expect(await list.locator('strong').allTextContents()).toEqual(places);
    await page.getByRole('button', { name: /In the photo/ }).click();
    expect(await page.getByRole('option').allTextContents()).toEqual(places);
    await page.keyboard.press('Escape');
    const told = await page.locator('main').textContent();
    for (const { id } of job?.photos ?? []) expect(told).not.toContain(id);
  });

  it('speak of no target where there is none', async () => {
    const { page } = open;
    const detail = page.locator('.screen-head p');
    expect(await detail.textContent()).toContain('the target at the right');
    await page.evaluate(() =>
      window.sprayout.edit('No target', (draft) => {
        draft.target = undefined;
      }),
    );
    await detail.getByText('Each panel as the eye').waitFor({ timeout: 60_000 });
    expect(await detail.textContent()).not.toContain('at the right');
    await page.getByRole('button', { name: /Undo/ }).click();
    await detail.getByText('at the right').waitFor({ timeout: 60_000 });
  });

  it('are accessible in both surroundings, and fit a phone', async () => {
    const { page } = open;
    for (const theme of ['booth', 'judging'] as const) {
      await chooseTheme(page, theme);
      expect(await auditOf(page)).toEqual([]);
    }
    await page.setViewportSize({ ...PHONE, width: 360 });
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
    expect(await auditOf(page)).toEqual([]);
  });
});
