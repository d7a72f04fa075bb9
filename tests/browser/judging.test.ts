/** Match and Mix in a real browser: colours as they are, lists and plots by keyboard, the plan and its sheet. */
import pixelmatch from 'pixelmatch';
import type { Locator, Page } from 'playwright-core';
import { PNG } from 'pngjs';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { screenColour } from '../../src/core/board/screen-colour.ts';
import type { Lab } from '../../src/core/color/index.ts';
import { answersOf, jobOf } from './console.ts';
import {
  auditOf,
  chooseTheme,
  DESK,
  type Harness,
  openDemo,
  PHONE,
  startHarness,
  studied,
  visit,
} from './harness.ts';

let harness: Harness;
let page: Page;

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
  ({ page } = await harness.open());
  await openDemo(page);
});
afterAll(() => harness.close());

/** Pixels of an element that differ from one flat colour by more than the eye could tell. */
async function pixelsOff(element: Locator, lab: Lab, inset: number): Promise<number> {
  const seen = PNG.sync.read(await element.screenshot());
  const wanted = new PNG({ width: seen.width, height: seen.height });
  const [r, g, b] = [1, 3, 5].map((at) =>
    Number.parseInt(screenColour(lab, 'D50/2').hex.slice(at, at + 2), 16),
  );
  for (let i = 0; i < wanted.data.length; i += 4) wanted.data.set([r, g, b, 255], i);
  // rounded corners and the mark of a colour beyond the screen lie at the edge
  for (let y = 0; y < seen.height; y++)
    for (let x = 0; x < seen.width; x++)
      if (x < inset || y < inset || x >= seen.width - inset || y >= seen.height - inset) {
        const at = 4 * (y * seen.width + x);
        seen.data.set([r, g, b, 255], at);
      }
  return pixelmatch(seen.data, wanted.data, undefined, seen.width, seen.height, { threshold: 0.02 });
}

describe('Match', () => {
  it('paints panel and target edge to edge in their measured colours', async () => {
    await visit(page, 'Match');
    const { lab, de00 } = await answersOf(page);
    const [closest] = Object.entries(de00).sort((a, b) => a[1] - b[1])[0];
    const halves = page.locator('.split-large .split-half');
    expect(await pixelsOff(halves.nth(0), lab[closest] as unknown as Lab, 4)).toBe(0);
    expect(await pixelsOff(halves.nth(1), lab.target as unknown as Lab, 4)).toBe(0);
    const [left, right] = await Promise.all([0, 1].map((i) => halves.nth(i).boundingBox()));
    expect((left?.x ?? 0) + (left?.width ?? 0)).toBeCloseTo(right?.x ?? -1, 1);
  });

  it('shows the closest, whichever was looked at in Photos, and then what was chosen on it', async () => {
    const { de00 } = await answersOf(page);
    const order = Object.entries(de00).sort((a, b) => a[1] - b[1]);
    const [closest, second] = order.map(([id]) => id);
    const rows = page.locator('.match-row');
    const together = page.locator('.match-together');
    /** Selects a panel in Photos, one of the photo that is open there, and comes back. */
    const lookAtAnother = async (): Promise<void> => {
      await visit(page, 'Photos');
      const another = page.locator(
        `[data-panel][aria-pressed=false]:not([data-panel=${closest}], [data-panel=${second}], [data-panel=target])`,
      );
      const row = page.locator(`[data-panel=${await another.first().getAttribute('data-panel')}]`);
      await row.click();
      expect(await row.getAttribute('aria-pressed')).toBe('true');
      await visit(page, 'Match');
      await together.waitFor();
    };
    const shown = async (): Promise<string | null> => together.getAttribute('aria-label');
    await lookAtAnother();
    const name = await rows.nth(0).locator('.match-name').textContent();
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toContain(`Closest is ${name}:`);
    expect(await shown()).toContain(`${name} against`);
    await rows.nth(1).click();
    const chosen = await rows.nth(1).locator('.match-name').textContent();
    expect(await shown()).toContain(`${chosen} against`);
    await lookAtAnother();
    expect(await shown()).toContain(`${chosen} against`);
    await rows.nth(0).click();
  });

  it('ranks the panels by their difference and goes through them with the arrow keys', async () => {
    const { de00 } = await answersOf(page);
    const numbers = await page.locator('.match-number').allTextContents();
    expect(numbers.map(Number)).toEqual(
      Object.values(de00)
        .sort((a, b) => a - b)
        .map((v) => Number(v.toFixed(1))),
    );
    await page.locator('.match-row').first().focus();
    await page.keyboard.press('ArrowDown');
    await page.locator('.match-row[data-selected]').nth(0).waitFor();
    expect(await page.locator('.match-row').nth(1).getAttribute('aria-selected')).toBe('true');
    expect(await page.locator('.match-dot-selected').count()).toBe(2);
  });

  it('takes a measured value as the target, and undo brings the old one back', async () => {
    const before = (await jobOf(page))?.target;
    await page.getByRole('button', { name: 'Change the target' }).click();
    await page.getByRole('tab', { name: 'Measured value' }).click();
    for (const [axis, value] of [
      ['L*', '45.54'],
      ['a*', '-12.35'],
      ['b*', '30'],
    ] as const)
      await page.getByRole('textbox', { name: axis, exact: true }).fill(value);
    for (const viewport of [DESK, PHONE]) {
      await page.setViewportSize(viewport);
      const dialog = (await page.getByRole('dialog').boundingBox())!;
      for (const tab of await page.getByRole('tab').all()) {
        const { x, width } = (await tab.boundingBox())!;
        expect(x >= dialog.x && x + width <= dialog.x + dialog.width).toBe(true);
      }
      // every figure can be read whole
      for (const box of await page.getByRole('dialog').locator('.match-lab input').all())
        expect(await box.evaluate((e) => e.scrollWidth - e.clientWidth)).toBe(0);
    }
    await page.setViewportSize(DESK);
    await page.getByRole('textbox', { name: 'Name' }).focus();
    await page.getByRole('button', { name: 'Match this value' }).click();
    await studied(page);
    expect((await jobOf(page))?.target?.measured).toEqual([{ lab: [45.54, -12.35, 30], u: 0.5 }]);
    await page.getByRole('button', { name: /Undo/ }).click();
    await studied(page);
    expect((await jobOf(page))?.target).toEqual(before);
  });

  it('is accessible in both surroundings', async () => {
    for (const theme of ['booth', 'judging'] as const) {
      await chooseTheme(page, theme);
      expect(await auditOf(page)).toEqual([]);
    }
  });
});

describe('Match of a job without photos', () => {
  it('proposes a photo, and no readings of panels, for which it has no field', async () => {
    const { page: own, context } = await harness.open();
    await own.getByRole('button', { name: 'Start a job' }).click();
    await own.waitForURL(/#\/photos\//);
    await visit(own, 'Match');
    await own.getByRole('heading', { name: 'Nothing is measured yet.' }).waitFor();
    await studied(own);
    const told = await own.locator('main').textContent();
    expect(told).toContain('Photograph your panels beside the card.');
    expect(told).not.toMatch(/or (?:state|Lab values)/);
    await context.close();
  });
});

describe('Mix', () => {
  it('shows every step of the ladder in its predicted colour', async () => {
    await visit(page, 'Mix');
    await page.locator('.mix-grid').waitFor();
    const ladder = await page.evaluate(async () => {
      const boxes = [...document.querySelectorAll('.mix-cell-colour')] as HTMLElement[];
      return boxes.map((b) => b.style.background);
    });
    const rows = await page.locator('.mix-grid tbody tr').count();
    const columns = (await page.locator('.mix-grid thead th').count()) || 1;
    expect(ladder.length).toBe(rows * columns);
    expect(ladder.length).toBeGreaterThanOrEqual(6 * 13);
    expect(new Set(ladder).size).toBeGreaterThan(60);
    const best = page.locator('.mix-cell-closest');
    const off = Number(await best.locator('.mix-cell-number').textContent());
    const all = (await page.locator('.mix-cell-number').allTextContents()).map(Number);
    expect(off).toBe(Math.min(...all));
  });

  it('plans a field of the ladder and keeps what is ticked off at the bench', async () => {
    await page.locator('.mix-cell-closest').click();
    await page.getByRole('button', { name: 'Spray this next' }).click();
    await page.locator('.mix-cell-planned').waitFor();
    expect((await page.getByRole('heading', { level: 1 }).textContent()) ?? '').toMatch(/coats on/);
    await page.getByRole('button', { name: /To the bench/ }).click();
    await page.getByText(/Strain through/).click();
    await studied(page);
    expect((await jobOf(page))?.next?.done).toEqual(['step-1']);
    expect(await auditOf(page)).toEqual([]);
  });

  it('adds the sprayed panel with its recipe, ready for its photo', async () => {
    const planned = (await jobOf(page))?.next;
    await page.getByRole('button', { name: /Sprayed/ }).click();
    await page.waitForURL(/#\/photos\//);
    const job = await jobOf(page);
    const added = job?.panels.at(-1);
    expect(added).toMatchObject({
      ground: planned?.ground,
      mix: planned?.mix,
      coats: planned?.coats,
      measured: [],
    });
    expect(job?.next).toBeUndefined();
  });

  it('is accessible in both surroundings, and fits a phone', async () => {
    await visit(page, 'Mix');
    for (const theme of ['booth', 'judging'] as const) {
      await chooseTheme(page, theme);
      expect(await auditOf(page)).toEqual([]);
    }
    await page.setViewportSize({ ...PHONE, width: 360 });
    for (const place of ['Match', 'Mix'] as const) {
      await visit(page, place);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
    }
  });
});
