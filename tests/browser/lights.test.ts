/** The lights in a real browser: each panel beside the target in every light it was photographed in. */
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
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
