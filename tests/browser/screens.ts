/** Takes the pictures of every screen with the demo job: `npm run screens`, into samples/screens. */
import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { buildApp } from './build-app.ts';
import { chooseTheme, DESK, openDemo, PHONE, startHarness, visit } from './harness.ts';

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
  { name: 'photos', themes: ['judging', 'booth'], goTo: async () => {} },
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
      await page.locator('.lights-table').waitFor({ timeout: 60_000 });
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
      await page.screenshot({ path: join(folder, `first-${size}.png`) });
    }
    await openDemo(page);
    const photos = page.url();
    for (const { name, themes, goTo } of SHOTS.filter((s) => s.name.startsWith(wanted)))
      for (const theme of themes) {
        await page.goto(photos);
        await chooseTheme(page, theme);
        await goTo(page);
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
