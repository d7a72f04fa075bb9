/** The web page in real Chromium: reads well to assistive technology, asks for nothing, breaks no rule of its own policy. */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { AxeBuilder } from '@axe-core/playwright';
import { type Browser, chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { boardHtml } from '../../src/core/board/index.ts';
import { boardFonts } from '../../src/node/board-fonts.ts';
import { browserPath } from '../browser/harness.ts';
import { documentOf, jobOf } from './board-job.ts';

const VIEWPORTS = [
  { width: 1440, height: 900 },
  { width: 390, height: 844 },
] as const;

let browser: Browser;
let folder: string;

beforeAll(async () => {
  browser = await chromium.launch({
    executablePath: await browserPath(),
    args: [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
  folder = await mkdtemp(join(tmpdir(), 'sprayout-board-'));
}, 120_000);
afterAll(async () => {
  await browser.close();
  await rm(folder, { recursive: true });
});

describe('a board’s web page in a browser', () => {
  it.each([1, 4])(
    'with %i panels passes axe on a desk and on a phone, fits the width, and asks for nothing',
    async (count) => {
      const names = ['5:1, three coats', 'W'.repeat(300), 'מזרק זהב 5:1', '<script>alert(1)</script>'];
      const job = jobOf(
        names.slice(-count).map((name, i) => ({ id: `p${i + 1}`, name, notes: 'A little wet.' })),
        { notes: 'For the kettle.' },
      );
      const file = join(folder, `board-${count}.html`);
      await writeFile(
        file,
        boardHtml(documentOf(job, { date: '1 May 2026', maker: 'The workshop' }), await boardFonts()),
      );
      for (const viewport of VIEWPORTS) {
        const context = await browser.newContext({ viewport });
        const page = await context.newPage();
        const asked: string[] = [];
        const errors: string[] = [];
        page.on('request', (request) => {
          if (!/^(data|file):/.test(request.url())) asked.push(request.url());
        });
        page.on('console', (message) => {
          if (message.type() === 'error') errors.push(message.text());
        });
        page.on('dialog', (dialog) => {
          errors.push(dialog.message());
          void dialog.dismiss();
        });
        await page.goto(pathToFileURL(file).href);
        const fonts = await page.evaluate(
          'document.fonts.ready.then((f) => [...f].map((face) => face.status))',
        );
        expect(new Set(fonts as string[])).toEqual(new Set(['loaded']));
        const { violations } = await new AxeBuilder({ page }).setLegacyMode().analyze();
        expect(violations.map((v) => `${v.id}: ${v.nodes[0].html}`)).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth - innerWidth')).toBeLessThanOrEqual(
          0,
        );
        expect(asked).toEqual([]);
        expect(errors).toEqual([]);
        await context.close();
      }
    },
  );
});
