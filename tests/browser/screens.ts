/** Takes the pictures of every screen with the demo job: `npm run screens`, into samples/screens. */
import { mkdir, mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { buildApp } from './build-app.ts';
import { chooseTheme, DESK, openDemo, PHONE, startHarness, visit } from './harness.ts';

const SUN = fileURLToPath(new URL('../../samples/demo/sun-1.jpg', import.meta.url));

interface Shot {
  readonly name: string;
  readonly themes: readonly ('judging' | 'booth')[];
  /** From the demo job's photos to what is to be seen. */
  readonly goTo: (page: Page) => Promise<void>;
}

/** Every screen: a new one is one line. */
const SHOTS: readonly Shot[] = [
  {
    name: 'jobs',
    themes: ['judging'],
    goTo: async (page) => {
      await page.getByRole('button', { name: /all jobs/ }).click();
      await page.getByRole('heading', { name: 'Which job?' }).waitFor();
    },
  },
  {
    name: 'jobs-find',
    themes: ['judging'],
    goTo: async (page) => {
      await page.getByRole('button', { name: /all jobs/ }).click();
      await page.getByRole('tab', { name: 'Find a colour' }).click();
      await page.locator('.jobs-near-row').first().waitFor();
    },
  },
  {
    name: 'jobs-storage',
    themes: ['booth'],
    goTo: async (page) => {
      await page.getByRole('button', { name: /all jobs/ }).click();
      await page.getByRole('tab', { name: 'Storage' }).click();
      await page.getByRole('heading', { name: 'Deleted jobs' }).waitFor();
    },
  },
  { name: 'photos', themes: ['judging', 'booth'], goTo: async () => {} },
  {
    name: 'photos-panel',
    themes: ['judging'],
    goTo: async (page) => {
      const row = page.locator('[data-panel=p5]');
      if ((await row.getAttribute('aria-pressed')) !== 'true') await row.click();
      await page.locator('.photos-stage').scrollIntoViewIfNeeded();
    },
  },
  {
    name: 'photos-check',
    themes: ['judging'],
    goTo: async (page) => {
      const figures = page.getByRole('button', { name: 'Figures of the check' });
      await figures.click();
      await figures.scrollIntoViewIfNeeded();
    },
  },
  {
    name: 'photos-sheet',
    themes: ['judging'],
    goTo: async (page) => {
      await page.getByRole('button', { name: 'Name and recipe' }).click();
      await page.getByLabel('Coats').first().waitFor();
    },
  },
  { name: 'photos-empty', themes: ['judging', 'booth'], goTo: startJob },
  {
    name: 'photos-found',
    themes: ['judging'],
    goTo: async (page) => {
      await startJob(page);
      await choosePhotos(page, [await readFile(SUN)]);
      await page.getByRole('heading', { name: /outlines found/ }).waitFor({ timeout: 60_000 });
    },
  },
  {
    name: 'photos-no-card',
    themes: ['judging'],
    goTo: async (page) => {
      await startJob(page);
      await choosePhotos(page, [
        await sharp(SUN).extract({ left: 0, top: 900, width: 2240, height: 780 }).jpeg().toBuffer(),
        Buffer.from('a letter'),
      ]);
      await page.getByRole('button', { name: /four corners by hand/ }).waitFor({ timeout: 60_000 });
    },
  },
  { name: 'match', themes: ['judging', 'booth'], goTo: (page) => visit(page, 'Match') },
  { name: 'mix', themes: ['judging'], goTo: (page) => visit(page, 'Mix') },
  {
    name: 'mix-bench',
    themes: ['judging'],
    goTo: async (page) => {
      await visit(page, 'Mix');
      await page.getByRole('button', { name: /To the bench/ }).click();
      await page.getByRole('heading', { name: 'Then' }).waitFor();
    },
  },
  {
    name: 'lights',
    themes: ['judging'],
    goTo: async (page) => {
      await visit(page, 'Lights');
      await page.locator('.lights-panels').waitFor({ timeout: 60_000 });
    },
  },
  {
    name: 'board',
    themes: ['judging'],
    goTo: async (page) => {
      await visit(page, 'Board');
      await page.locator('.board-pages img').first().waitFor({ timeout: 60_000 });
    },
  },
];

async function startJob(page: Page): Promise<void> {
  await page.getByRole('button', { name: /all jobs/ }).click();
  await page.getByRole('button', { name: 'Start a job' }).click();
  await page.getByRole('button', { name: 'Choose photos' }).waitFor();
}

async function choosePhotos(page: Page, files: readonly Buffer[]): Promise<void> {
  await page
    .locator('input[type=file][multiple]')
    .setInputFiles(
      files.map((buffer, i) => ({ name: `bench ${i + 1}.jpg`, mimeType: 'image/jpeg', buffer })),
    );
}

/** `npm run screens -- match` takes only the pictures whose name begins so; SPRAYOUT_SCREENS names another folder. */
const wanted = process.argv[2] ?? '';
/** SPRAYOUT_FULL=1 takes the whole page, not what the screen holds. */
const fullPage = process.env.SPRAYOUT_FULL === '1';
const folder =
  process.env.SPRAYOUT_SCREENS ?? fileURLToPath(new URL('../../samples/screens', import.meta.url));
await mkdir(folder, { recursive: true });
const app = await mkdtemp(join(tmpdir(), 'sprayout-screens-'));
await buildApp(app);
const harness = await startHarness(app);
try {
  for (const [size, viewport] of [
    ['phone', PHONE],
    ['desktop', DESK],
  ] as const) {
    const { page, context } = await harness.open({ viewport });
    if ('first'.startsWith(wanted)) {
      await chooseTheme(page, 'judging');
      // what is said when the app has been stored, and goes again
      const told = page.locator('.told-line');
      await told.waitFor({ timeout: 5000 }).catch(() => {});
      await told.waitFor({ state: 'detached' });
      await page.screenshot({ path: join(folder, `first-${size}.png`) });
    }
    await openDemo(page);
    const photos = page.url();
    for (const { name, themes, goTo } of SHOTS.filter((s) => s.name.startsWith(wanted)))
      for (const theme of themes) {
        await page.keyboard.press('Escape'); // a dialog of the picture before
        await page.goto(photos);
        await chooseTheme(page, theme);
        await goTo(page);
        // what the picture before has said in passing
        await page.locator('.told-line').waitFor({ state: 'detached' });
        await page.waitForTimeout(300);
        const suffix = theme === 'judging' ? '' : `-${theme}`;
        await page.screenshot({ path: join(folder, `${name}-${size}${suffix}.png`), fullPage });
      }
    await context.close();
  }
} finally {
  await harness.close();
  await rm(app, { recursive: true, force: true });
}
