/** Mix at the bench in a real browser: what is poured is what is said and kept, and the ladder shows its plan. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import type { Job } from '../../shared/schemas/job.ts';
import { jobOf } from './console.ts';
import { auditOf, type Harness, openDemo, PHONE, startHarness, studied, visit } from './harness.ts';

let harness: Harness;
let page: Page;

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
  ({ page } = await harness.open({ viewport: PHONE }));
  await openDemo(page);
});
afterAll(() => harness.close());

const job = async (): Promise<Job> => (await jobOf(page))!;
const amounts = (title: string | RegExp) =>
  page
    .locator('.mix-sheet')
    .filter({ has: page.getByRole('heading', { name: title }) })
    .locator('.mix-amounts');

/** Plans 4:1, three coats on gold, whatever the advice is. */
async function planFourToOne(): Promise<void> {
  await page.evaluate(() =>
    window.sprayout.edit('Plan', (draft) => {
      draft.next = {
        mix: { parts: { garnet: 4, amber: 1 }, carrier: 5 },
        ground: 'gold',
        coats: 3,
        reducer_pct: 5,
        clear: true,
        done: [],
      };
    }),
  );
  await studied(page);
}

describe('the ladder on a phone', () => {
  it('shows the planned field beside its coats, without moving the page', async () => {
    await visit(page, 'Mix');
    await planFourToOne();
    await page.locator('.mix-cell-planned').waitFor();
    expect(await page.evaluate(() => scrollY)).toBe(0);
    const [view, field, coats] = await Promise.all(
      ['.mix-scroll', '.mix-cell-planned', '.mix-grid tbody th >> nth=0'].map((at) =>
        page.locator(at).boundingBox(),
      ),
    );
    expect(field!.x).toBeGreaterThanOrEqual(coats!.x + coats!.width);
    expect(field!.x + field!.width).toBeLessThanOrEqual(view!.x + view!.width);
  });

  it('covers what is scrolled under its coats up to the left edge', async () => {
    const coats = page.locator('.mix-grid tbody th').first();
    await coats.scrollIntoViewIfNeeded();
    const edge = await page.evaluate(() => {
      const scroller = document.querySelector('.mix-scroll')!;
      const th = scroller.querySelector('tbody th')!;
      const reach = Number(/(-?\d+)px 0px/.exec(getComputedStyle(th).boxShadow)?.[1] ?? 0);
      return th.getBoundingClientRect().left + reach - scroller.getBoundingClientRect().left;
    });
    expect(edge).toBeLessThanOrEqual(0);
  });
});

describe('the bench sheet', () => {
  it('gives the pot its reducer and a total', async () => {
    await page.getByRole('button', { name: /To the bench/ }).click();
    const rows = await amounts(/^Into the 210/)
      .locator('div')
      .allTextContents();
    expect(rows).toEqual([
      'Amber candy1.5 ml',
      'carrier7.3 ml',
      'reducer10.9 ml',
      'in all, with the pot230 ml',
    ]);
  });

  it('says what amounts by the marks really make, also on paper', async () => {
    const marks = page.getByRole('textbox', { name: 'Marks of the cup' });
    await marks.fill('5');
    await marks.press('Enter');
    const said = page.locator('.mix-as-poured');
    await said.getByText(/moves the colour/).waitFor();
    expect(await said.textContent()).toMatch(
      /By the marks this is Garnet candy\s6 : Amber candy\s1.*not Garnet candy\s4 : Amber candy\s1/,
    );
    await page.getByText(/Not rounded to the marks/).waitFor();
    await page.emulateMedia({ media: 'print' });
    expect(await said.isVisible()).toBe(true);
    await page.emulateMedia({ media: 'screen' });
  });

  it('keeps the marks when it is left, and when the page is loaded anew', async () => {
    await visit(page, 'Match');
    await visit(page, 'Mix');
    await page.getByRole('button', { name: /To the bench/ }).click();
    const marks = page.getByRole('textbox', { name: 'Marks of the cup' });
    expect(await marks.inputValue()).toBe('5');
    await page.reload();
    await studied(page);
    await page.getByRole('button', { name: /To the bench/ }).click();
    expect(await marks.inputValue()).toBe('5');
  });

  it('says that a pot given its amounts is right, and how much reducer goes in', async () => {
    await page.getByRole('button', { name: 'Poured: the pot is right now' }).click();
    await page.getByRole('heading', { name: 'The pot is right as it is' }).waitFor();
    expect((await job()).pot?.volume_ml).toBeCloseTo(218.75, 6);
    expect(await amounts('The pot is right as it is').locator('div').first().textContent()).toBe(
      'reducer10.0 ml',
    );
    await page.getByRole('heading', { name: 'If you would rather mix it anew' }).waitFor();
    await page.getByRole('button', { name: 'Undo' }).first().click();
    await page.getByRole('button', { name: 'Poured: the pot is right now' }).waitFor();
  });

  it('asks which paint was sprayed where the two are not the same, and keeps that recipe under a proper name', async () => {
    await page.locator('.mix-as-poured').waitFor();
    await page.getByRole('button', { name: 'Sprayed: photograph it' }).click();
    await page
      .getByRole('dialog')
      .getByRole('button', { name: /Mixed anew/ })
      .click();
    await page.waitForURL(/#\/photos\//);
    const { panels } = await job();
    expect(panels.at(-1)).toMatchObject({
      name: 'Panel 13',
      mix: { parts: { garnet: 6, amber: 1 } },
      ground: 'gold',
      coats: 3,
      measured: [],
    });
  });
});

describe('a panel that waits for its photo', () => {
  it('is told with its recipe when that is not the one advised', async () => {
    await studied(page);
    await visit(page, 'Mix');
    await planFourToOne();
    await page.getByText('Panel 13 is sprayed and waits for its photo.').waitFor();
    expect(await page.getByText('p13').count()).toBe(0);
    expect(await auditOf(page)).toEqual([]);
  });

  it('stands in place of the same advice, and no twin comes unasked', async () => {
    await page.evaluate(() =>
      window.sprayout.edit('Sprayed as planned', (draft) => {
        const panel = draft.panels.find((p) => p.id === 'p13');
        if (panel)
          Object.assign(panel, { mix: { parts: { garnet: 8, amber: 2 }, carrier: 5 }, reducer_pct: 5 });
      }),
    );
    await page.getByRole('heading', { level: 1, name: /^Panel 13 waits for its photo/ }).waitFor();
    await studied(page);
    await page.getByRole('button', { name: 'Spray another: what to pour' }).click();
    await page.getByRole('button', { name: 'Sprayed another: photograph it' }).waitFor();
    await page.getByText('It has this very recipe.', { exact: false }).waitFor();
    await page.getByRole('button', { name: 'Back to the advice' }).click();
    await page.locator('.screen-next').getByRole('button', { name: 'Photograph Panel 13' }).click();
    await page.waitForURL(/#\/photos\//);
  });
});

describe('the tints and grounds', () => {
  it('are named as soon as they are added, and say what is removed', async () => {
    await visit(page, 'Mix');
    await page.getByRole('button', { name: /^2 tints, 3 grounds/ }).click();
    await page.getByRole('button', { name: 'Add a tint' }).click();
    // typed at once, in place of the name it was given
    await expect
      .poll(() => page.evaluate(() => (document.activeElement as HTMLInputElement).value))
      .toBe('New tint');
    await page.keyboard.type('Smoke');
    await page.keyboard.press('Enter');
    expect((await job()).tints.map((t) => t.name)).toContain('Smoke');
    await page.getByRole('button', { name: 'Add a ground' }).click();
    await expect
      .poll(() => page.evaluate(() => (document.activeElement as HTMLInputElement).value))
      .toBe('New ground');
    await page.keyboard.type('White');
    await page.keyboard.press('Tab');
    await page.getByRole('button', { name: /^3 tints, 4 grounds/ }).waitFor();
    await page.getByRole('button', { name: 'Remove Smoke' }).click();
    await page.getByRole('button', { name: 'Remove White' }).click();
    await page.getByRole('button', { name: /^2 tints, 3 grounds/ }).waitFor();
    await page.evaluate(() =>
      window.sprayout.edit('Keep one ground', (draft) => {
        draft.grounds.length = 1;
        draft.tints.length = 1;
      }),
    );
    await page.getByRole('button', { name: /^1 tint, 1 ground$/ }).waitFor();
    expect(await auditOf(page)).toEqual([]);
  });
});
