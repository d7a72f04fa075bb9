/** The whole job with the keyboard alone: from nothing stored to the advice, the board and the job's file. */
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import type { FileChooser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import type { Job, JobPanel } from '../../shared/schemas/job.ts';
import { unpackBundle } from '../../src/core/job/bundle/index.ts';
import { parseJob } from '../../src/core/job/index.ts';
import { quadArea, quadCentre } from '../../src/core/photo/polygon.ts';
import type { QuadPx } from '../../src/core/photo/types.ts';
import { jobOf } from './console.ts';
import { type Harness, startHarness, studied } from './harness.ts';

const DEMO = fileURLToPath(new URL('../../samples/demo/', import.meta.url));
const PHOTOS = ['sun-1', 'sun-2'] as const;
/** No place on a screen may be further away than so many presses. */
const MOST_TABS = 120;
let harness: Harness;
let page: Page;

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
  ({ page } = await harness.open());
  // the first screen is drawn once without the stored jobs and again with them
  await page.getByRole('button', { name: 'Start a job' }).waitFor();
  // a mouse, a finger or a script that clicks would show up here
  await page.evaluate(() => {
    const seen: string[] = [];
    Object.assign(window, { pointed: seen });
    for (const kind of ['mousedown', 'touchstart'])
      addEventListener(kind, () => seen.push(kind), { capture: true });
  });
});
afterAll(() => harness.close());

const press = (key: string): Promise<void> => page.keyboard.press(key);

/** What is sought, kept in the page: to look for it by role and name after every press takes most of a test's time. */
const seek = (wanted: Locator): Promise<void> =>
  wanted.evaluateAll((all) => void Object.assign(window, { sought: all }));

/** Whether what is sought has the focus; undefined when some of it is no longer there. */
const soughtHasFocus = (): Promise<boolean | undefined> =>
  page.evaluate(() => {
    const { sought } = window as unknown as { sought: readonly Element[] };
    if (sought.length === 0 || !sought.every((e) => e.isConnected)) return undefined;
    return sought.some(
      (e) =>
        e === document.activeElement ||
        (e.matches('[role=group],[role=radiogroup],[role=toolbar]') && e.contains(document.activeElement)),
    );
  });

async function hasFocus(wanted: Locator): Promise<boolean> {
  await seek(wanted);
  return (await soughtHasFocus()) ?? false;
}

/** What has the focus, in words: for messages. */
const focused = (): Promise<string> =>
  page.evaluate(() => {
    const e = document.activeElement;
    return e ? `${e.tagName} ${e.getAttribute('aria-label') ?? e.textContent ?? ''}`.slice(0, 80) : 'nothing';
  });

/** Where the focus lies, in words; `seen` when that shows it, within what the window shows. */
const focusPlace = (): Promise<string> =>
  page.evaluate(() => {
    const e = document.activeElement;
    if (!e || e === document.body) return 'nothing has the focus';
    if (!e.matches(':focus-visible')) return 'the focus is not shown';
    const { left, right, top, bottom, width, height } = (e.closest('label') ?? e).getBoundingClientRect();
    if (width === 0 || height === 0) return 'what has the focus is not there to be seen';
    const isIn = right > 0 && bottom > 0 && left < innerWidth && top < innerHeight;
    return isIn ? 'seen' : 'the focus is out of sight';
  });

/** The focus is to be seen, at once or when the screen has come to rest. */
async function expectSeen(): Promise<void> {
  await expect.poll(focusPlace, { timeout: 3000 }).toBe('seen');
}

/** Goes on with Tab until it is reached. */
async function reach(wanted: Locator, key: 'Tab' | 'Shift+Tab' = 'Tab'): Promise<void> {
  await wanted.first().waitFor();
  await seek(wanted);
  for (let i = 0; i <= MOST_TABS; i++) {
    // what seems reached, or has been drawn anew, is looked for again
    if ((await soughtHasFocus()) !== false && (await hasFocus(wanted))) return expectSeen();
    await press(key);
  }
  throw new Error(`${wanted} is not reached by ${key}; the focus is on ${await focused()}`);
}

const button = (name: string | RegExp): Locator =>
  page.getByRole('button', { name, ...(typeof name === 'string' && { exact: true }) });

async function enter(wanted: Locator): Promise<void> {
  await reach(wanted);
  await press('Enter');
}

/** The file chooser that a button opens. A screen drawn anew at that moment swallows the key: it is pressed again, as anybody would. */
async function opened(chooserButton: Locator): Promise<FileChooser> {
  for (let tries = 0; tries < 3; tries++) {
    const chooser = page.waitForEvent('filechooser', { timeout: 8000 }).catch(() => undefined);
    await enter(chooserButton);
    const seen = await chooser;
    if (seen) return seen;
  }
  throw new Error(`${chooserButton} opens no file chooser; the focus is on ${await focused()}`);
}

/** One of a strip of choices: Tab to the strip, arrows within. */
async function choose(strip: string, words: string): Promise<void> {
  const group = page.getByRole('radiogroup', { name: strip, exact: true });
  const wanted = group.getByRole('radio', { name: words, exact: true });
  await reach(group);
  for (let i = 0; i < 20 && !(await hasFocus(wanted)); i++) await press('ArrowRight');
  expect(await hasFocus(wanted)).toBe(true);
  if ((await wanted.getAttribute('aria-checked')) !== 'true') await press('Space');
}

async function type(field: string, words: string): Promise<void> {
  await reach(page.getByRole('textbox', { name: field, exact: true }));
  await press('Control+a');
  await page.keyboard.type(words);
  await press('Enter');
}

async function job(): Promise<Job> {
  const open = await jobOf(page);
  if (!open) throw new Error('no job is open');
  return open;
}

/** What the demo says lies there in its photo: a panel, or else the lid, which may be outlined anywhere on it. */
function lies(demo: Job, photo: string, quad: QuadPx): JobPanel | 'target' {
  const [x, y] = quadCentre(quad);
  const isHere = ({ measured }: JobPanel): boolean =>
    measured.some((m) => {
      if (!('corners_px' in m) || !m.corners_px || m.photo !== photo) return false;
      const [u, v] = quadCentre(m.corners_px);
      return Math.hypot(u - x, v - y) < 0.3 * Math.sqrt(quadArea(m.corners_px));
    });
  return demo.panels.find(isHere) ?? 'target';
}

async function addName(kind: 'ground' | 'tint', name: string): Promise<void> {
  const first = page.getByRole('textbox', { name: `Which ${kind} is it?` });
  if ((await first.count()) === 0) await enter(button(`Another ${kind}`));
  else await reach(first);
  await page.keyboard.type(name);
  await press('Enter');
  // what had the focus is gone, its place is not
  await expect.poll(() => page.evaluate(() => document.activeElement !== document.body)).toBe(true);
}

async function giveRecipe(demo: Job, panel: JobPanel): Promise<void> {
  await type('Name', panel.name ?? '');
  const ground = demo.grounds.find((g) => g.id === panel.ground)?.name ?? '';
  if ((await job()).grounds.some((g) => g.name === ground)) await choose('Ground', ground);
  else await addName('ground', ground);
  await type('Coats', String(panel.coats));
  for (const [id, parts] of Object.entries(panel.mix?.parts ?? {})) {
    const tint = demo.tints.find((t) => t.id === id)?.name ?? '';
    if (!(await job()).tints.some((t) => t.name === tint)) await addName('tint', tint);
    await type(`Parts of ${tint}`, String(parts));
  }
  if (panel.mix?.carrier !== undefined) await type('Carrier, parts to one', String(panel.mix.carrier));
  if (panel.reducer_pct !== undefined) await type('Reducer', String(panel.reducer_pct));
  await reach(page.getByRole('checkbox', { name: 'Clear coat on it' }));
  if (panel.clear) await press('Space');
}

describe('the whole job with the keyboard alone', () => {
  let demo: Job;
  beforeAll(async () => {
    demo = parseJob(JSON.parse(await readFile(`${DEMO}kettle-lid.job.json`, 'utf8')), 'the demo');
  });

  it('skips to the content, starts a job, and takes photos from a file chooser', async () => {
    await press('Tab');
    expect(await focused()).toMatch(/Skip to the content/);
    await press('Enter');
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('main');
    await enter(button('Start a job'));
    await button('Choose photos').waitFor();
    const chooser = await opened(button('Choose photos'));
    await chooser.setFiles(PHOTOS.map((name) => `${DEMO}${name}.jpg`));
    await page.getByRole('heading', { name: /outlines found/ }).waitFor({ timeout: 60_000 });
    await studied(page);
    expect((await job()).photos).toHaveLength(2);
  });

  it('takes the panels found in each photo, and says what each is and how it was sprayed', {
    timeout: 400_000,
  }, async () => {
    for (const [i, name] of PHOTOS.entries()) {
      const photo = (await job()).photos[i].id;
      const strip = page.getByRole('option', { name: new RegExp(name) });
      if (i > 0) {
        await reach(page.getByRole('listbox', { name: 'Photos' }).getByRole('option', { selected: true }));
        await press('ArrowRight');
        expect(await hasFocus(strip)).toBe(true);
      }
      // the panels of the photo before may be in this one: nothing is new before it is said
      if (i > 0) await enter(button('All of them are new panels'));
      await enter(button(/^Add \d+ panels? found/));
      await studied(page);
      await expectSeen();
      const placed = (await job()).panels.filter((p) => p.measured.some((m) => m.photo === photo));
      expect(placed.length).toBeGreaterThanOrEqual(6);
      let known = 0;
      for (const { id, measured } of placed) {
        const [reading] = measured;
        if (!('corners_px' in reading) || !reading.corners_px) throw new Error(`${id} has no place`);
        const thing = lies(demo, name, reading.corners_px);
        const row = page.locator(`[data-panel="${id}"]`);
        await reach(row);
        if ((await row.getAttribute('aria-pressed')) !== 'true') await press('Enter');
        await enter(button('Name and recipe'));
        expect(await focused()).toMatch(/^H2/);
        await expectSeen();
        if (thing !== 'target') {
          await giveRecipe(demo, thing);
          await enter(button('Done'));
          await expect.poll(() => hasFocus(row)).toBe(true);
          known++;
        } else {
          await enter(button('It is another panel, the target, or none'));
          await enter(button('This is the target'));
          await expect.poll(() => page.evaluate(() => document.activeElement !== document.body)).toBe(true);
        }
        await expectSeen();
      }
      expect(known).toBe(6);
    }
    await studied(page);
    const { panels, target } = await job();
    expect(target?.measured.length).toBeGreaterThan(0);
    for (const wanted of demo.panels) {
      const { name, coats, clear, reducer_pct } = wanted;
      const given = panels.find((p) => p.name === name);
      expect(given).toMatchObject({ name, coats, clear, ...(reducer_pct !== undefined && { reducer_pct }) });
      expect(Object.values(given?.mix?.parts ?? {})).toEqual(Object.values(wanted.mix?.parts ?? {}));
    }
  });

  it('reads how far off each panel is, and the advice, and what to pour', async () => {
    await enter(button('See how far off'));
    await page.waitForURL(/#\/match\//);
    await expect.poll(() => page.getByRole('heading', { level: 1 }).textContent()).toMatch(/closest/i);
    await expectSeen();
    await enter(button('Change the target'));
    await page.getByRole('dialog').waitFor();
    await reach(page.getByRole('tab', { selected: true }));
    await press('ArrowRight');
    expect(await hasFocus(page.getByRole('tab', { name: 'Measured value' }))).toBe(true);
    await press('Escape');
    await expect.poll(() => hasFocus(button('Change the target'))).toBe(true);
    await enter(button('See what to change'));
    await page.waitForURL(/#\/mix\//);
    await expect.poll(() => page.getByRole('heading', { level: 1 }).textContent()).toMatch(/coats? on/);
    await expectSeen();
    await enter(button('To the bench: what to pour'));
    await page.locator('.mix-amounts').first().waitFor();
    await expectSeen();
    expect(await page.locator('.mix-amounts').first().textContent()).toMatch(/\d.*ml/);
    const steps = page.locator('.mix-ticks').getByRole('checkbox');
    for (let i = 0; i < (await steps.count()); i++) {
      await reach(steps.nth(i));
      await press('Space');
      expect(await steps.nth(i).isChecked()).toBe(true);
    }
    await studied(page);
    expect((await job()).next?.done).toHaveLength(await steps.count());
  });

  it('makes the board and keeps the job as a file', async () => {
    const places = page.getByRole('navigation', { name: 'Places' });
    await enter(places.getByRole('link', { name: 'Board' }));
    await page.locator('.board-pages img').first().waitFor({ timeout: 60_000 });
    await reach(button('Save as PDF to print'));
    const [board] = await Promise.all([page.waitForEvent('download'), press('Enter')]);
    expect((await readFile(await board.path())).subarray(0, 5).toString()).toBe('%PDF-');
    await enter(button(/all jobs/));
    await page.getByRole('heading', { name: 'Which job?' }).waitFor();
    const more = button(/^More for/);
    await enter(more);
    const keep = page.getByRole('menuitem', { name: 'Keep a copy as a file' });
    await keep.waitFor();
    for (let i = 0; i < 10 && !(await hasFocus(keep)); i++) await press('ArrowDown');
    await press('Enter');
    await reach(button('Keep the copy'));
    const [copy] = await Promise.all([page.waitForEvent('download'), press('Enter')]);
    const unpacked = unpackBundle(await readFile(await copy.path()));
    expect(unpacked.job.panels.length).toBeGreaterThanOrEqual(demo.panels.length);
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await expect.poll(() => hasFocus(more)).toBe(true);
    expect(await page.evaluate(() => (window as unknown as { pointed: string[] }).pointed)).toEqual([]);
  });
});
