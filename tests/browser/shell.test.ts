/** The frame of the app in a real browser: opens, brings the demo, works offline, asks nobody, and is accessible. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import {
  auditOf,
  chooseTheme,
  type Harness,
  openDemo,
  openOnePhoto,
  PHONE,
  startHarness,
  studied,
  visit,
} from './harness.ts';

let harness: Harness;

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
});
afterAll(() => harness.close());

describe('the app', () => {
  it('opens with a way to begin, and asks for nothing elsewhere', async () => {
    const { page, context, elsewhere, errors } = await harness.open();
    expect(await page.getByRole('button', { name: 'Start a job' }).isVisible()).toBe(true);
    expect(elsewhere).toEqual([]);
    expect(errors).toEqual([]);
    await context.close();
  });

  it('is served with a policy that lets nothing in from elsewhere, in the header and in the page', async () => {
    const response = await fetch(harness.served.address);
    const header = response.headers.get('content-security-policy') ?? '';
    const meta = /http-equiv="Content-Security-Policy"\s+content="([^"]+)"/i.exec(await response.text())?.[1];
    for (const policy of [header, meta ?? '']) {
      expect(policy).toContain("default-src 'none'");
      expect(policy).toContain("connect-src 'self'");
      expect(policy).not.toMatch(/unsafe-inline|unsafe-eval'(?<!wasm-unsafe-eval')|https?:|\*/);
    }
  });

  it('does not hand out files beside its own', async () => {
    const { hostname, port } = new URL(harness.served.address);
    const { request } = await import('node:http');
    const status = (path: string): Promise<number | undefined> =>
      new Promise((resolve) => {
        request({ hostname, port, path }, (response) => {
          response.resume();
          resolve(response.statusCode);
        }).end();
      });
    expect(await status('/../package.json')).toBe(404);
    expect(await status('/%2e%2e/package.json')).toBe(404);
    expect(await status('/..%2fpackage.json')).toBe(404);
    expect(await status('/assets/%00')).toBe(404);
    expect(await status('/index.html')).toBe(200);
  });

  it('brings the demo job with one tap: saved, measured, compared and advised', async () => {
    const { page, context, elsewhere, errors } = await harness.open();
    await openDemo(page);
    expect(await page.getByText('Saved', { exact: true }).isVisible()).toBe(true);
    await visit(page, 'Match');
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toMatch(/closest/i);
    await visit(page, 'Mix');
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toMatch(/garnet|amber|coat/i);
    expect(elsewhere).toEqual([]);
    expect(errors).toEqual([]);
    await context.close();
  });

  it('says in passing what was done, over nothing that is then in the way, and not on the next screen', async () => {
    const { page, context } = await harness.open({ viewport: PHONE });
    await openOnePhoto(page);
    const told = page.locator('.told-line');
    const row = page.locator('[data-panel=p9]');
    const takeOut = page.getByRole('button', { name: 'Take out of this photo' });
    const takeItOut = async (): Promise<void> => {
      await row.click();
      await takeOut.click();
      await told.getByText('Taken out of this photo').waitFor({ timeout: 3000 });
    };
    await takeItOut();
    const under = await told.evaluate((line) => {
      const { x, y, width, height } = line.getBoundingClientRect();
      return line.contains(document.elementFromPoint(x + width / 2, y + height / 2));
    });
    expect(under).toBe(false);
    await page.waitForTimeout(1100); // longer than what is said on the way to a screen
    await page.evaluate(() => {
      location.hash = location.hash.replace('photos', 'match');
    });
    await told.getByText('Taken out').waitFor({ state: 'detached', timeout: 1000 });
    await context.close();
  });

  it('opens the same job again without a network', async () => {
    const { page, context } = await harness.open();
    await openOnePhoto(page);
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    await context.setOffline(true);
    await page.reload();
    await studied(page);
    expect(await page.getByRole('button', { name: /Kettle lid/ }).isVisible()).toBe(true);
    await visit(page, 'Match');
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toMatch(/closest/i);
    await context.close();
  });

  for (const size of ['desk', 'phone'] as const)
    it(`has no accessibility violation in its frame, in both surroundings: ${size}`, async () => {
      const { page, context } = await harness.open(size === 'phone' ? { viewport: PHONE } : {});
      await inBothThemes(page, async () => expect(await auditOf(page)).toEqual([]));
      await openOnePhoto(page);
      await inBothThemes(page, async () => {
        expect(await auditOf(page)).toEqual([]);
        await page.getByRole('button', { name: 'Settings' }).click();
        expect(await auditOf(page)).toEqual([]);
        await page.keyboard.press('Escape');
      });
      await context.close();
    });
});

async function inBothThemes(page: Page, check: () => Promise<void>): Promise<void> {
  for (const theme of ['judging', 'booth'] as const) {
    await chooseTheme(page, theme);
    await check();
  }
}
