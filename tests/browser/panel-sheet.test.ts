/** A panel's recipe over the photo on a phone and beside it on a desk, by Enter; panels that wait for a photo. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import type { Job, JobPanel } from '../../shared/schemas/job.ts';
import { jobOf } from './console.ts';
import { auditOf, DESK, type Harness, openOnePhoto, PHONE, startHarness, studied } from './harness.ts';

let harness: Harness;

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
});
afterAll(() => harness.close());

async function job(page: Page): Promise<Job> {
  const open = await jobOf(page);
  if (!open) throw new Error('no job is open');
  return open;
}

const panelOf = async (page: Page, id: string): Promise<JobPanel | undefined> =>
  (await job(page)).panels.find((p) => p.id === id);

/** Adds a tint or ground in the open sheet, and presses Enter once more, as who is in a hurry does. */
async function addName(page: Page, kind: 'ground' | 'tint', name: string): Promise<void> {
  await page.getByRole('button', { name: `Another ${kind}` }).click();
  await page.keyboard.type(name);
  await page.keyboard.press('Enter');
  await page.keyboard.press('Enter');
  // what gives the focus to something else does so a moment later
  await page.waitForTimeout(200);
  await page.keyboard.press('Enter');
}

const isFocused = (page: Page, role: 'radio' | 'textbox', name: string): Promise<boolean> =>
  page.getByRole(role, { name, exact: true }).evaluate((e) => e === document.activeElement);

describe.each([
  ['over the photo on a phone', PHONE],
  ['beside the photo on a desk', DESK],
])('the recipe of a panel, %s', (_, viewport) => {
  let page: Page;
  let ids: readonly string[];
  beforeAll(async () => {
    ({ page } = await harness.open({ viewport }));
    await openOnePhoto(page);
    const rows = page.locator('[data-panel]:not([data-panel=target])');
    ids = await rows.evaluateAll((all) => all.map((e) => e.getAttribute('data-panel') ?? ''));
    await page.locator(`[data-panel="${ids[1]}"]`).click();
    await page.getByRole('button', { name: 'Name and recipe' }).click();
    await page.getByRole('button', { name: /^Same as the one before/ }).waitFor();
  });

  it('goes on from the name of a new tint to its parts, and stays what it was', async () => {
    const before = await panelOf(page, ids[1]);
    await addName(page, 'tint', 'Plum');
    expect((await job(page)).tints.map((t) => t.name)).toContain('Plum');
    expect(await isFocused(page, 'textbox', 'Parts of Plum')).toBe(true);
    expect(await panelOf(page, ids[1])).toEqual(before);
    // typed at once, in place of the 0 there
    await page.keyboard.type('2');
    await page.keyboard.press('Enter');
    const plum = (await job(page)).tints.find((t) => t.name === 'Plum')?.id ?? '';
    expect((await panelOf(page, ids[1]))?.mix?.parts).toEqual({ ...before?.mix?.parts, [plum]: 2 });
  });

  it('goes on from the name of a new ground to it', async () => {
    const before = await panelOf(page, ids[1]);
    await addName(page, 'ground', 'Pearl');
    const pearl = (await job(page)).grounds.find((g) => g.name === 'Pearl')?.id;
    expect(pearl).toBeDefined();
    expect(await isFocused(page, 'radio', 'Pearl')).toBe(true);
    expect(await panelOf(page, ids[1])).toEqual({ ...before, ground: pearl });
  });

  it('begins at the heading of the next panel, also from the end of a long one', async () => {
    const heading = (name: string | null) =>
      page.getByRole('heading', { level: 2, name: name ?? '', exact: true });
    const next = page.getByRole('button', { name: /^Next: / });
    const name = ((await next.textContent()) ?? '').replace('Next: ', '');
    const [here] = await page
      .getByRole('textbox', { name: 'Name', exact: true })
      .evaluateAll((all) => all.map((e) => (e as HTMLInputElement).value));
    await next.scrollIntoViewIfNeeded();
    await next.click();
    await heading(name).waitFor();
    expect(await heading(name).evaluate((e) => e === document.activeElement)).toBe(true);
    const { y } = (await heading(name).boundingBox())!;
    expect(y >= 0 && y < viewport.height / 2).toBe(true);
    // a new name is no other panel
    const field = page.getByRole('textbox', { name: 'Name', exact: true });
    await field.fill(`${name}, again`);
    await field.press('Enter');
    await heading(`${name}, again`).waitFor();
    expect(await field.evaluate((e) => e === document.activeElement)).toBe(true);
    await page.getByRole('button', { name: 'Done' }).click();
    await page.locator(`[data-panel="${ids[1]}"]`).click();
    await page.getByRole('button', { name: 'Name and recipe' }).click();
    await heading(here).waitFor();
  });

  it('stays where the painter went on to when the name’s field is left', async () => {
    await page.getByRole('button', { name: 'Another tint' }).click();
    await page.keyboard.type('Moss');
    await page.getByRole('textbox', { name: 'Coats' }).click();
    expect((await job(page)).tints.map((t) => t.name)).toContain('Moss');
    expect(await isFocused(page, 'textbox', 'Coats')).toBe(true);
  });

  it('is offered from the panel before only where that one has any', async () => {
    await page.evaluate(
      (id) =>
        window.sprayout.edit('Take the recipe away', (draft) => {
          const { name, measured } = draft.panels.find((p) => p.id === id)!;
          draft.panels = draft.panels.map((p) => (p.id === id ? { id, name, measured } : p));
        }),
      ids[0],
    );
    await page.getByRole('button', { name: /^Same as the one before/ }).waitFor({ state: 'detached' });
  });
});

describe('a number that nobody entered yet', () => {
  it('begins near nothing with + and with −, by button and by arrow, not at its far end', async () => {
    const { page, context } = await harness.open({ viewport: PHONE });
    await openOnePhoto(page);
    const id = await page.evaluate(() => {
      const panels = window.sprayout.documentStore.getState().job?.panels ?? [];
      window.sprayout.edit('Take the recipe away', (draft) => {
        const { id, name, measured } = draft.panels[1];
        draft.panels[1] = { id, name, measured };
      });
      return panels[1].id;
    });
    await studied(page);
    await page.locator(`[data-panel="${id}"]`).click();
    await page.getByRole('button', { name: 'Name and recipe' }).click();
    const step = (name: string) => page.getByRole('button', { name, exact: true }).click();
    const coats = page.getByRole('textbox', { name: 'Coats' });
    for (const first of ['Decrease Coats', 'Increase Coats', 'ArrowDown', 'ArrowUp']) {
      if (first.startsWith('Arrow')) await coats.press(first);
      else await step(first);
      await expect.poll(async () => (await panelOf(page, id))?.coats).toBe(1);
      await coats.fill('');
      await coats.blur();
      await expect.poll(async () => (await panelOf(page, id))?.coats).toBe(undefined);
    }
    await coats.fill('100');
    await step('Decrease Coats');
    await expect.poll(async () => (await panelOf(page, id))?.coats).toBe(99);
    // nothing is reduced before anything is mixed
    expect(await page.getByRole('textbox', { name: 'Reducer' }).isDisabled()).toBe(true);
    await page
      .getByRole('button', { name: /^Increase Parts of/ })
      .first()
      .click();
    await step('Decrease Reducer');
    await expect.poll(async () => (await panelOf(page, id))?.reducer_pct).toBe(0);
    await context.close();
  });
});

describe('panels that wait for a photo', () => {
  const addPanel = (page: Page, name: string): Promise<void> =>
    page.evaluate(
      (given) =>
        window.sprayout.edit('Note a panel', (draft) => {
          const id = `p${draft.panels.length + 20}`;
          draft.panels.push({ ...draft.panels[0], id, name: given, measured: [] });
        }),
      name,
    );
  const sentence = (page: Page): Promise<string | null> =>
    page.getByRole('heading', { level: 1 }).textContent();

  it('are what the screen says first, and another photo is what it asks for', async () => {
    const { page, context } = await harness.open();
    await openOnePhoto(page);
    const primary = page.locator('.screen-next .button-primary');
    expect(await sentence(page)).toBe('The photo can be trusted.');
    expect(await primary.textContent()).toBe('See how far off');
    await addPanel(page, 'Second try');
    await expect.poll(() => sentence(page)).toBe('Second try waits for a photo.');
    await studied(page);
    expect(await primary.allTextContents()).toEqual(['Take a photo']);
    expect(await page.locator('.screen-next button').first().textContent()).toBe('Take a photo');
    expect(await page.locator('.screen-head p').textContent()).not.toMatch(/All|labelled/);
    await addPanel(page, 'Third try');
    await expect.poll(() => sentence(page)).toBe('2 panels wait for a photo.');
    expect(await auditOf(page)).toEqual([]);
    await context.close();
  });
});
