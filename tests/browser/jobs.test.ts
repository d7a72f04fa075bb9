/** The page of all jobs in a real browser: copies out and in, bad files, storage full or denied, two windows, a broken worker. */
import { readFile } from 'node:fs/promises';
import type { BrowserContext, Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, beforeEach, describe, expect, inject, it } from 'vitest';
import { unpackBundle } from '../../src/core/job/bundle/index.ts';
import { bundleList, bundleParts, PHOTO } from '../job/bundled-job.ts';
import { soundJob } from '../job/sample-job.ts';
import { zipOf } from '../job/zip-files.ts';
import { answersOf, jobOf } from './console.ts';
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

const MARKUP = '<img src=x onerror=alert(1)> & "door"';

let harness: Harness;
let page: Page;
let context: BrowserContext;
let errors: readonly string[];

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
  ({ page, context, errors } = await harness.open());
  await openDemo(page);
});
afterAll(() => harness.close());

async function toJobs(on: Page = page): Promise<void> {
  await on.goto(`${harness.served.address}#/jobs`);
  await on.getByRole('tab', { name: 'Jobs' }).click();
  await on.getByRole('heading', { name: 'Which job?' }).waitFor();
}

async function choose(on: Page, row: string, action: string): Promise<void> {
  await on.getByRole('button', { name: `More for ${row}`, exact: true }).click();
  await on.getByRole('menuitem', { name: action }).click();
}

const bringIn = (on: Page, name: string, bytes: Uint8Array): Promise<void> =>
  on.locator('.jobs-drop input[type=file]').setInputFiles({
    name,
    mimeType: 'application/zip',
    buffer: Buffer.from(bytes),
  });

/** A sound bundle of a small job that needs no photo. */
function smallBundle(name: string): Uint8Array {
  const job = { ...soundJob(), name, photos: [] };
  job.panels = job.panels.map((p) => ({ ...p, measured: [{ lab: [40, 30, 20] }] }));
  return bundleOf({ 'job.json': JSON.stringify(job) });
}

const bundleOf = (files: Readonly<Record<string, Uint8Array | string>>): Uint8Array =>
  zipOf([
    { name: 'bundle.json', content: JSON.stringify(bundleList(files)) },
    ...Object.entries(files).map(([name, content]) => ({ name, content })),
  ]);

describe('copies of jobs', () => {
  let copy: Buffer;
  beforeEach(() => toJobs());

  it('keep the place and owner out of the photos unless asked, and are whole bundles', async () => {
    await toJobs();
    await choose(page, 'Kettle lid in garnet and amber', 'Keep a copy as a file');
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Keep the copy' }).click(),
    ]);
    expect(download.suggestedFilename()).toBe('Kettle lid in garnet and amber.zip');
    copy = await readFile(await download.path());
    const { job, files } = unpackBundle(copy);
    expect(job.panels).toHaveLength(12);
    expect([...files.keys()].filter((f) => f.startsWith('photos/'))).toHaveLength(4);
  });

  it('come back in with the same colours to the last digit', async () => {
    await page.getByRole('link', { name: /Kettle lid/ }).click();
    await studied(page);
    const before = await answersOf(page);
    await toJobs();
    await bringIn(page, 'kettle.zip', copy);
    await page.waitForURL(/#\/photos\//);
    await studied(page);
    expect((await answersOf(page)).lab).toEqual(before.lab);
    await toJobs();
    expect(await page.locator('.jobs-link').count()).toBe(2);
    expect(errors).toEqual([]);
  });

  it('are taken when dropped on the page, too', async () => {
    const file = await page.evaluateHandle(
      (bytes) => {
        const data = new DataTransfer();
        data.items.add(new File([new Uint8Array(bytes)], 'dropped.zip', { type: 'application/zip' }));
        return data;
      },
      [...smallBundle('Dropped')],
    );
    await page.locator('.jobs-drop').dispatchEvent('drop', { dataTransfer: file });
    await page.waitForURL(/#\/photos\//);
    await studied(page);
    expect((await jobOf(page))?.name).toBe('Dropped');
  });

  it('keep metadata of photos when asked', async () => {
    const photo = await sharp({ create: { width: 32, height: 24, channels: 3, background: '#733' } })
      .withExif({ IFD0: { Artist: 'SECRET' }, IFD3: { GPSLatitudeRef: 'N' } })
      .jpeg()
      .toBuffer();
    await bringIn(
      page,
      'secret.zip',
      bundleOf({ 'job.json': JSON.stringify(soundJob()), 'photos/sun.jpg': photo }),
    );
    await page.waitForURL(/#\/photos\//);
    await toJobs();
    for (const [asked, holds] of [
      [false, false],
      [true, true],
    ] as const) {
      await choose(page, 'kettle lid', 'Keep a copy as a file');
      if (asked) await page.getByRole('checkbox').locator('xpath=ancestor::label').click();
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        page.getByRole('button', { name: 'Keep the copy' }).click(),
      ]);
      expect((await readFile(await download.path())).includes('SECRET')).toBe(holds);
      await page.getByRole('dialog').waitFor({ state: 'detached' });
    }
  });
});

describe('files that cannot be brought in', () => {
  beforeEach(() => toJobs());

  const sound = bundleParts();
  const newer = { ...bundleList({}), format: 'sprayout-bundle/9' };
  const swollen = new Uint8Array(20e6);
  const bent = zipOf(
    sound.map((p) => (p.name === 'photos/sun.jpg' ? { ...p, content: PHOTO.map((b) => b ^ 1) } : p)),
  );

  it.each<[string, string, Uint8Array, RegExp]>([
    ['a wrong checksum', 'bent.zip', bent, /damaged "photos\/sun\.jpg"/],
    [
      'a newer version',
      'newer.zip',
      zipOf([{ name: 'bundle.json', content: JSON.stringify(newer) }]),
      /newer version/,
    ],
    [
      'a zip bomb',
      'bomb.zip',
      zipOf([...sound, { name: 'photos/big.jpg', content: swollen, method: 8 }]),
      /would swell/,
    ],
    ['what is no zip file', 'text.zip', new TextEncoder().encode('hello'), /not a zip file/],
    ['an empty file', 'empty.zip', new Uint8Array(0), /is empty/],
    [
      'a plain job file',
      'lid.job.json',
      new TextEncoder().encode(JSON.stringify(soundJob())),
      /a job file without its photos/,
    ],
    ['a photo', 'sun.jpg', Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 16, 74, 70, 73, 70), /is a picture/],
  ])('%s is told in words with a way out, and nothing is changed', async (_, name, bytes, words) => {
    const before = await page.locator('.jobs-link').count();
    await bringIn(page, name, bytes);
    const notice = page.getByRole('alert').filter({ hasText: words });
    await notice.waitFor();
    expect(((await notice.locator('span').first().textContent()) ?? '').length).toBeGreaterThan(15);
    expect(await notice.textContent()).not.toMatch(/--allow|undefined|Error:/);
    expect(await page.locator('.jobs-link').count()).toBe(before);
  });

  it('give what is whole when that is asked for', async () => {
    await bringIn(page, 'bent.zip', bent);
    await page.getByRole('button', { name: 'Bring in what is whole' }).click();
    await page
      .getByText(/is brought in/)
      .first()
      .waitFor();
    await page.getByRole('note').getByRole('link', { name: 'Open it' }).click();
    await page.waitForURL(/#\/photos\//);
    await page.waitForFunction(() => window.sprayout.documentStore.getState().job !== undefined);
    expect((await jobOf(page))?.panels).toHaveLength(2);
  });
});

describe('the list of jobs', () => {
  beforeEach(() => toJobs());

  it('renames, and shows markup in a name as the text it is', async () => {
    await choose(page, 'Dropped', 'Rename');
    await page.getByRole('textbox', { name: 'Name' }).fill(MARKUP);
    await page.keyboard.press('Enter');
    await page.locator('.jobs-name', { hasText: MARKUP }).waitFor();
    expect(await page.locator('img[src=x]').count()).toBe(0);
    await page.locator('.jobs-link', { hasText: MARKUP }).click();
    await page.locator('.job-button .job-name', { hasText: MARKUP }).waitFor();
  });

  it('duplicates, deletes, and puts back', async () => {
    const rows = page.locator('.jobs-link');
    const before = await rows.count();
    await choose(page, MARKUP, 'Duplicate');
    await page.locator('.jobs-name', { hasText: 'second go' }).waitFor();
    await choose(page, `${MARKUP}, second go`, 'Delete');
    await page.getByRole('button', { name: 'Put it back' }).waitFor();
    expect(await rows.count()).toBe(before);
    await page.getByRole('button', { name: 'Put it back' }).click();
    await page.locator('.jobs-name', { hasText: 'second go' }).waitFor();
    await choose(page, `${MARKUP}, second go`, 'Delete');
    await page.getByRole('tab', { name: 'Storage' }).click();
    await page.getByRole('button', { name: 'Erase', exact: true }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Erase' }).click();
    await page.getByText(/can be put back here/).waitFor();
    await page.getByRole('tab', { name: 'Jobs' }).click();
    expect(await rows.count()).toBe(before);
  });

  it('finds the panels nearest to a typed colour, and opens the job with that panel chosen', async () => {
    await page.getByRole('tab', { name: 'Find a colour' }).click();
    await page.getByRole('button', { name: /Take the colour from/ }).click();
    await page.getByRole('option', { name: 'A value that I type' }).click();
    for (const [axis, value] of [
      ['L*', '40'],
      ['a*', '30'],
      ['b*', '20'],
    ] as const)
      await page.getByRole('textbox', { name: axis, exact: true }).fill(value);
    await page.keyboard.press('Tab');
    await page.getByRole('heading', { name: /^Nearest is/ }).waitFor();
    const first = page.locator('.jobs-near-row').first();
    expect(await first.locator('.jobs-near-figure').textContent()).toMatch(/^about0\.0/);
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toMatch(/: about 0\.0 off/);
    const name = await first.locator('.jobs-near-name').textContent();
    await first.click();
    await page.waitForURL(/#\/match\//);
    await studied(page);
    await page.getByRole('region', { name: `${name} against` }).waitFor();
  });

  it('is accessible in both surroundings on every tab, and fits a phone', async () => {
    await page.setViewportSize({ ...PHONE, width: 360 });
    for (const theme of ['booth', 'judging'] as const) {
      await chooseTheme(page, theme);
      for (const tab of ['Find a colour', 'Storage', 'Jobs']) {
        await page.getByRole('tab', { name: tab }).click();
        expect(await auditOf(page)).toEqual([]);
        expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
      }
    }
    await choose(page, MARKUP, 'Keep a copy as a file');
    expect(await auditOf(page)).toEqual([]);
    await page.keyboard.press('Escape');
    await page.setViewportSize({ width: 1440, height: 900 });
  });
});

describe('storage', () => {
  it('that is full loses nothing: a copy can be kept, and it is saved once there is room', async () => {
    const room = await harness.browser.newContext({ serviceWorkers: 'block' });
    const own = await room.newPage();
    const session = await room.newCDPSession(own);
    const { origin } = new URL(harness.served.address);
    await session.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: 100_000 });
    await own.goto(harness.served.address);
    await own.getByRole('button', { name: 'Start a job' }).click();
    await own.waitForURL(/#\/photos\//);
    const photo = await sharp({
      create: {
        width: 900,
        height: 900,
        channels: 3,
        background: '#733',
        noise: { type: 'gaussian', sigma: 30, mean: 90 },
      },
    })
      .jpeg()
      .toBuffer();
    await own.evaluate(async (base64) => {
      const blob = new Blob([Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))]);
      await window.sprayout.edit(
        'Add photo',
        (d) => {
          d.photos.push({ id: 'f1', file: 'a.jpg', light: 'other', view: 'face' });
        },
        { photos: [{ id: 'f1', blob }] },
      );
    }, photo.toString('base64'));
    await own.getByText(/storage is full/).waitFor();
    const [download] = await Promise.all([
      own.waitForEvent('download'),
      own.getByRole('button', { name: 'Keep a copy' }).click(),
    ]);
    expect([...unpackBundle(await readFile(await download.path())).files.keys()]).toEqual(['photos/a.jpg']);
    // also after a look at the other jobs
    await toJobs(own);
    await own.getByText(/New job is not saved/).waitFor();
    await own.getByRole('link', { name: 'Open it' }).click();
    await own.getByText(/storage is full/).waitFor();
    expect((await jobOf(own))?.photos).toHaveLength(1);
    await session.send('Storage.overrideQuotaForOrigin', { origin });
    await own.getByRole('button', { name: 'Try again' }).click();
    await own.locator('.saved[data-state=saved]').waitFor();
    await own.reload();
    await own.locator('.saved[data-state=saved]').waitFor();
    expect((await jobOf(own))?.photos).toHaveLength(1);
    await room.close();
  });

  it('that is denied leaves a job and the demo to work on, and copies to keep', async () => {
    const { page: own, context: room } = await harness.open({ serviceWorkers: 'block' });
    await own.addInitScript(() => {
      IDBFactory.prototype.open = () => {
        throw new DOMException('denied', 'SecurityError');
      };
    });
    await own.reload();
    await own.getByText(/may not store anything/).waitFor();
    expect(await auditOf(own)).toEqual([]);
    await own.getByRole('button', { name: 'Start a job' }).click();
    await own.waitForURL(/#\/photos\//);
    await own.locator('.saved[data-state=failed]').waitFor();
    await toJobs(own);
    await own.getByText(/New job is not saved/).waitFor();
    await own.getByRole('button', { name: 'Look at the demo job' }).click();
    await own.waitForURL(/#\/photos\//);
    await own.locator('.frame[data-study=done]').waitFor({ timeout: 60_000 });
    expect(Object.keys((await answersOf(own)).lab)).toHaveLength(13);
    const [download] = await Promise.all([
      own.waitForEvent('download'),
      own.getByRole('button', { name: 'Keep a copy' }).click(),
    ]);
    expect(unpackBundle(await readFile(await download.path())).job.photos).toHaveLength(4);
    await room.close();
  });
});

describe('two windows on one job', () => {
  beforeEach(() => toJobs());

  it('lose no edit of either, and show each other’s', async () => {
    await page.locator('.jobs-link', { hasText: MARKUP }).click();
    await page.waitForURL(/#\/photos\//);
    const second = await context.newPage();
    await second.goto(page.url());
    await second.waitForFunction(() => window.sprayout.documentStore.getState().job !== undefined);
    const add = (on: Page, who: string): Promise<void> =>
      on.evaluate(async (name) => {
        const edits = Array.from({ length: 20 }, (_, i) =>
          window.sprayout.edit('Add panel', (d) => {
            d.panels.push({ id: `${name}${i}`, measured: [] });
          }),
        );
        await Promise.all(edits);
      }, who);
    await Promise.all([add(page, 'a'), add(second, 'b')]);
    for (const on of [page, second])
      await on.waitForFunction(
        () =>
          window.sprayout.documentStore.getState().job?.panels.filter((p) => /^[ab]\d/.test(p.id)).length ===
          40,
      );
    await second.close();
  });
});

describe('a worker that breaks', () => {
  const breakWorker = (on: Page): Promise<void> =>
    on.workers()[0].evaluate(() => {
      setTimeout(() => {
        throw new Error('broken on purpose');
      });
    });

  it('is started anew and measures again; breaking soon after, it waits to be asked', async () => {
    const { page: own, context: room } = await harness.open();
    await openOnePhoto(own);
    const before = await answersOf(own);
    await breakWorker(own);
    await own.getByText('was started anew. Nothing is lost.').first().waitFor();
    await studied(own);
    expect((await answersOf(own)).lab).toEqual(before.lab);
    await breakWorker(own);
    await own
      .getByText(/broke off again/)
      .first()
      .waitFor();
    await own.getByRole('button', { name: 'Go on' }).click();
    await studied(own);
    expect((await answersOf(own)).lab).toEqual(before.lab);
    await visit(own, 'Match');
    await room.close();
  });

  it('that hangs is noticed, ended and started anew, and what it was asked is asked again', async () => {
    const { page: own, context: room } = await harness.open();
    await own.clock.install();
    await openOnePhoto(own);
    const before = await answersOf(own);
    // an endless loop: it never answers again
    own
      .workers()[0]
      .evaluate(() => {
        for (;;);
      })
      .catch(() => {});
    await own.evaluate(() =>
      window.sprayout.edit('Coats', (d) => {
        d.panels[3].coats = 9;
      }),
    );
    await own.clock.runFor(100_000);
    await own.getByText('no longer answered and was started anew. Nothing is lost.').first().waitFor();
    await own.clock.resume();
    await studied(own);
    const after = await answersOf(own);
    expect(after.lab).toEqual(before.lab);
    expect(after.suggestions).not.toEqual(before.suggestions);
    expect((await jobOf(own))?.panels[3].coats).toBe(9);
    await room.close();
  });
});
