/** The app in real Chromium: serves a built folder, starts the browser, gives pages. */
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import chromium from '@sparticuz/chromium';
import {
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  chromium as driver,
  type Page,
} from 'playwright-core';
import type { CardDefinition } from '../../shared/schemas/card.ts';
import { type ServedApp, serveApp } from '../../src/node/serve-app.ts';
import { DEMO_FOLDER, demoOfOnePhoto } from '../job/one-photo.ts';
import './console.ts';

export const PHONE = { width: 390, height: 844 } as const;
export const DESK = { width: 1440, height: 900 } as const;

export const ARGUMENTS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** Path of the browser: the one that SPRAYOUT_BROWSER names, else the one that the package carries. */
export async function browserPath(): Promise<string> {
  return process.env.SPRAYOUT_BROWSER ?? (await chromium.executablePath());
}

/** A page with what it asked for and what went wrong on it. */
export interface OpenPage {
  readonly page: Page;
  readonly context: BrowserContext;
  /** Addresses asked for outside the app's own. */
  readonly elsewhere: readonly string[];
  /** Errors of the console and uncaught ones; refusals of the security policy are among them. */
  readonly errors: readonly string[];
}

export interface Harness {
  readonly served: ServedApp;
  readonly browser: Browser;
  open(options?: BrowserContextOptions & { readonly at?: string }): Promise<OpenPage>;
  close(): Promise<void>;
}

/** Serves a built app and starts a browser for it. */
export async function startHarness(appFolder: string): Promise<Harness> {
  const served = await serveApp(appFolder);
  const browser = await driver.launch({ executablePath: await browserPath(), args: ARGUMENTS });
  return {
    served,
    browser,
    async open({ at = '', ...options } = {}) {
      const context = await browser.newContext({ viewport: DESK, locale: 'en-GB', ...options });
      const page = await context.newPage();
      const watched = watch(page, served.address);
      await page.goto(`${served.address}${at}`);
      await page.getByRole('heading', { level: 1 }).first().waitFor();
      return { page, context, ...watched };
    },
    async close() {
      await browser.close();
      await served.close();
    },
  };
}

function watch(page: Page, own: string): { elsewhere: string[]; errors: string[] } {
  const elsewhere: string[] = [];
  const errors: string[] = [];
  page.on('request', (request) => {
    if (!/^(blob|data):/.test(request.url()) && !request.url().startsWith(own)) elsewhere.push(request.url());
  });
  page.on('console', (message) => {
    if (message.type() === 'error') errors.push(message.text());
  });
  page.on('pageerror', (error) => errors.push(error.message));
  return { elsewhere, errors };
}

/** Brings the sample job and waits until it is stored and studied. The page is then on its photos. */
export async function openDemo(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Look at the demo job' }).click();
  await page.waitForURL(/#\/photos\//);
  await studied(page);
}

/**
 * Starts a job of what the demo shows in one of its photos, and waits until it is stored and studied: a quarter of the
 * demo's work, for tests of what does not hang on how many photos there are.
 */
export async function openOnePhoto(page: Page, photo = 'sun-2'): Promise<void> {
  const job = await demoOfOnePhoto(photo);
  const path = 'bench-card.card.json';
  const jpeg = await readFile(join(DEMO_FOLDER, `${photo}.jpg`), 'base64');
  const card = JSON.parse(await readFile(join(DEMO_FOLDER, path), 'utf8')) as CardDefinition;
  await page.getByRole('button', { name: 'Start a job' }).click();
  await page.waitForURL(/#\/photos\//);
  await page.waitForFunction(() => window.sprayout.documentStore.getState().job !== undefined);
  await page.evaluate(
    async ([given, base64, definition, at]) => {
      const [{ id }] = given.photos;
      const blob = new Blob([Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))], { type: 'image/jpeg' });
      await window.sprayout.edit('Bring the photo', (d) => Object.assign(d, given), {
        photos: [{ id, blob }],
        cards: [{ path: at, card: definition }],
      });
    },
    [job, jpeg, card, path] as const,
  );
  await page.waitForFunction(
    (id) => window.sprayout.resultsStore.getState().photos[id]?.state === 'done',
    photo,
  );
  await studied(page);
}

/** Waits until the open job is saved and nothing is being worked out. */
export async function studied(page: Page): Promise<void> {
  await page.locator('.frame[data-study="done"] .saved[data-state="saved"]').waitFor({ timeout: 60_000 });
}

/** Goes to a place of the open job by its link. */
export async function visit(
  page: Page,
  word: 'Photos' | 'Match' | 'Mix' | 'Lights' | 'Board',
): Promise<void> {
  const link = page.getByRole('navigation', { name: 'Places' }).getByRole('link', { name: word });
  if ((await link.getAttribute('aria-current')) !== null) return;
  const before = await page.evaluate(() => document.querySelector('h1')?.textContent);
  await link.click();
  // a screen that is still being loaded leaves the one before it standing; two may well say the same
  await page
    .waitForFunction(
      (said) => {
        const heading = document.querySelector('h1');
        return heading !== null && heading.textContent !== said;
      },
      before,
      { timeout: 5000 },
    )
    .catch(() => page.getByRole('heading', { level: 1 }).first().waitFor());
}

/** Chooses the surroundings in the settings menu. */
export async function chooseTheme(page: Page, theme: 'judging' | 'booth'): Promise<void> {
  await page.getByRole('button', { name: 'Settings' }).click();
  await page.getByRole('menuitemradio', { name: theme === 'judging' ? /Judging/ : /Booth/ }).click();
  await page.locator(`html[data-theme="${theme}"]`).waitFor();
}

/** What the accessibility audit finds on the page as it is: rule, and the elements it is about. */
export async function auditOf(page: Page): Promise<string[]> {
  // in the page itself, which has no frames: a page of its own for the answers takes three times as long
  const { violations } = await new AxeBuilder({ page })
    .setLegacyMode()
    .options({ resultTypes: ['violations'] })
    .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'])
    .analyze();
  const told = await Promise.all(
    violations.map(async ({ id, nodes }) => {
      const targets = nodes.map((n) => n.target.join(' '));
      return { id, targets: id === 'target-size' ? await tooSmall(page, targets) : targets };
    }),
  );
  return told
    .filter(({ targets }) => targets.length > 0)
    .map(({ id, targets }) => `${id}: ${targets.join(', ')}`);
}

/** Targets that are still too small in the middle of the window: a bar may cover any until the page is scrolled. */
async function tooSmall(page: Page, targets: readonly string[]): Promise<string[]> {
  const small: string[] = [];
  for (const target of targets) {
    await page.locator(target).evaluate((e) => e.scrollIntoView({ block: 'center' }));
    const { violations } = await new AxeBuilder({ page })
      .setLegacyMode()
      .withRules(['target-size'])
      .include(target)
      .analyze();
    if (violations.length > 0) small.push(target);
  }
  return small;
}

/** A browser with a profile folder of its own that outlives it, for what must survive a restart. */
export async function persistentContext(profile: string): Promise<BrowserContext> {
  return driver.launchPersistentContext(profile, {
    executablePath: await browserPath(),
    args: ARGUMENTS,
    viewport: DESK,
    locale: 'en-GB',
  });
}

export async function temporaryProfile(): Promise<{ readonly folder: string; remove(): Promise<void> }> {
  const folder = await mkdtemp(join(tmpdir(), 'sprayout-profile-'));
  return { folder, remove: () => rm(folder, { recursive: true, force: true }) };
}
