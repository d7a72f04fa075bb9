/** The photos in a real browser: added, refused, outlined, corrected, labelled, by mouse and by keyboard. */
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import pixelmatch from 'pixelmatch';
import type { Page } from 'playwright-core';
import { PNG } from 'pngjs';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import type { Job } from '../../shared/schemas/job.ts';
import type { QuadPx } from '../../src/core/photo/types.ts';
import { jobOf } from './console.ts';
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

const DEMO = fileURLToPath(new URL('../../samples/demo/', import.meta.url));
let harness: Harness;

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
});
afterAll(() => harness.close());

async function startJob(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Start a job' }).click();
  await page.getByRole('button', { name: 'Choose photos' }).waitFor();
}

interface GivenFile {
  readonly name: string;
  readonly buffer: Buffer;
}

async function choose(page: Page, files: readonly GivenFile[]): Promise<void> {
  await page
    .locator('input[type=file][multiple]')
    .setInputFiles(files.map((f) => ({ ...f, mimeType: 'image/jpeg' })));
}

/** Job as it is, known to be open. */
async function job(page: Page): Promise<Job> {
  const open = await jobOf(page);
  if (!open) throw new Error('no job is open');
  return open;
}

const undoLabel = (page: Page): Promise<string | undefined> =>
  page.evaluate(() => window.sprayout.documentStore.getState().undoLabel);

async function readSun(): Promise<GivenFile> {
  return { name: 'bench.jpg', buffer: await readFile(`${DEMO}sun-1.jpg`) };
}

describe('photos of a new job', () => {
  let page: Page;
  let errors: readonly string[];
  beforeAll(async () => {
    ({ page, errors } = await harness.open());
    await startJob(page);
  });

  it('begin with what good looks like and two ways to add them, with the drawing told in words', async () => {
    expect(await page.getByRole('img', { name: /card lying flat/ }).isVisible()).toBe(true);
    expect(await page.getByRole('button', { name: 'Take a photo' }).isVisible()).toBe(true);
    for (const theme of ['booth', 'judging'] as const) {
      await chooseTheme(page, theme);
      expect(await auditOf(page)).toEqual([]);
    }
  });

  it('are taken in many at once, and files that are none are told by name with the reason', async () => {
    const huge = await sharp({ create: { width: 40, height: 30, channels: 3, background: '#808080' } })
      .png()
      .toBuffer();
    huge.writeUInt32BE(20_000, 16);
    huge.writeUInt32BE(10_000, 20);
    const heic = Buffer.from('\0\0\0\x18ftypheic\0\0\0\0heicmif1', 'latin1');
    await choose(page, [
      { name: 'letter.jpg', buffer: Buffer.from('Dear painter') },
      await readSun(),
      { name: 'nothing.jpg', buffer: Buffer.alloc(0) },
      { name: 'poster.png', buffer: huge },
      { name: 'phone.heic', buffer: heic },
    ]);
    const told = page.locator('.photos-refused');
    await told.waitFor();
    const words = await told.textContent();
    for (const [name, reason] of [
      ['letter.jpg', /no picture/],
      ['nothing.jpg', /empty/],
      ['poster.png', /20000 × 10000 pixels/],
    ] as const) {
      expect(words).toContain(name);
      expect(words).toMatch(reason);
    }
    await studied(page);
    const names = (await job(page)).photos.map((p) => p.name);
    expect(names).toContain('bench.jpg');
    for (const refused of ['letter.jpg', 'nothing.jpg', 'poster.png']) expect(names).not.toContain(refused);
    await page.getByRole('button', { name: 'Understood' }).click();
    // where a browser's build reads this kind, the broken file is a photo that is told to be damaged: it goes again
    if (names.includes('phone.heic')) {
      await page.getByRole('option', { name: /phone.heic/ }).click();
      await page.getByRole('button', { name: 'Remove this photo' }).first().click();
    } else expect(words).toContain('phone.heic');
    expect((await job(page)).photos).toHaveLength(1);
  });

  it('offer the panels found in them, which go in with one edit', async () => {
    await page.getByRole('heading', { name: /outlines found/ }).waitFor({ timeout: 60_000 });
    expect(await auditOf(page)).toEqual([]);
    const offered = await page
      .getByRole('radiogroup', { name: 'Outline', exact: true })
      .getByRole('radio')
      .count();
    expect(offered).toBeGreaterThanOrEqual(6);
    // the lid's own flat part is found as well and is no panel
    for (let extra = offered; extra > 6; extra--)
      await page.getByRole('radio', { name: 'No panel: leave it out' }).click();
    await page.getByRole('button', { name: 'Add 6 panels found' }).click();
    await studied(page);
    const { panels, photos } = await job(page);
    expect(panels).toHaveLength(6);
    expect(panels.every((p) => p.measured[0].photo === photos[0].id)).toBe(true);
    expect(await undoLabel(page)).toBe('Add 6 panels found');
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toMatch(
      /6 panels have no recipe yet/,
    );
  });

  it('have corners that the arrow keys move by one pixel, with Shift by ten, as one edit', async () => {
    const before = (await job(page)).panels[1].measured[0].corners_px!;
    await page.locator('.photos-outline', { hasText: '2' }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: /Bottom right corner of Panel 2/ }).focus();
    for (let i = 0; i < 3; i++) await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Shift+ArrowUp');
    await page.waitForFunction(() =>
      window.sprayout.documentStore.getState().undoLabel?.startsWith('Move the outline'),
    );
    const after = (await job(page)).panels[1].measured[0].corners_px!;
    expect(after[2][0] - before[2][0]).toBeCloseTo(3, 6);
    expect(after[2][1] - before[2][1]).toBeCloseTo(-10, 6);
    expect([after[0], after[1], after[3]]).toEqual([before[0], before[1], before[3]]);
    await page.getByRole('button', { name: /^Undo/ }).click();
    expect((await job(page)).panels[1].measured[0].corners_px).toEqual(before);
    expect(await undoLabel(page)).toBe('Add 6 panels found');
  });

  it('have corners that are dragged with a loupe beside the finger, one undo a drag', async () => {
    const before = (await job(page)).panels[1].measured[0].corners_px!;
    const dot = page
      .getByRole('button', { name: /Top left corner of Panel 2/ })
      .locator('.photos-handle-dot');
    await dot.scrollIntoViewIfNeeded();
    const box = (await dot.boundingBox())!;
    const from = [box.x + box.width / 2, box.y + box.height / 2] as const;
    await page.mouse.move(...from);
    await page.mouse.down();
    for (let i = 1; i <= 6; i++) await page.mouse.move(from[0] + 5 * i, from[1] - 2 * i);
    const loupe = (await page.locator('.photos-loupe').boundingBox())!;
    const [x, y] = [from[0] + 30, from[1] - 12];
    const isUnder =
      x > loupe.x - 10 &&
      x < loupe.x + loupe.width + 10 &&
      y > loupe.y - 10 &&
      y < loupe.y + loupe.height + 10;
    expect(isUnder).toBe(false);
    await page.mouse.up();
    const after = (await job(page)).panels[1].measured[0].corners_px!;
    expect(after[0][0]).toBeGreaterThan(before[0][0] + 20);
    expect(after[2]).toEqual(before[2]);
    await page.keyboard.press('Control+z');
    expect((await job(page)).panels[1].measured[0].corners_px).toEqual(before);
  });

  it('have panels with name and recipe, and the next one takes over the recipe of the one before', async () => {
    await page.locator('[data-panel]').first().click();
    await page.getByRole('button', { name: 'Name and recipe' }).click();
    await page.getByLabel('Name', { exact: true }).fill('Left door');
    await page.getByLabel('Which ground is it?').fill('Silver');
    await page.keyboard.press('Enter');
    const coats = page.getByRole('textbox', { name: 'Coats' });
    await coats.fill('3');
    await coats.press('Enter');
    await page.getByLabel('Which tint is it?').fill('Cherry');
    await page.keyboard.press('Enter');
    const parts = page.getByRole('textbox', { name: 'Parts of Cherry' });
    await parts.fill('5');
    await parts.press('Enter');
    await page.getByText('Clear coat on it').click();
    const [first] = (await job(page)).panels;
    const { grounds, tints } = await job(page);
    expect(grounds.map((g) => g.name)).toEqual(['Silver']);
    expect(tints.map((t) => t.name)).toEqual(['Cherry']);
    expect(first).toMatchObject({
      name: 'Left door',
      ground: grounds[0].id,
      coats: 3,
      clear: true,
      mix: { parts: { [tints[0].id]: 5 } },
    });
    expect(await auditOf(page)).toEqual([]);
    await page.getByRole('button', { name: /^Next/ }).click();
    await page.getByRole('button', { name: /Same as the one before: Left door/ }).click();
    const { name: _name, id: _id, measured: _measured, ...recipe } = first;
    expect((await job(page)).panels[1]).toMatchObject(recipe);
    await page.getByRole('button', { name: 'Done' }).click();
  });

  it('leave out a patch of the card that is stained, and are read anew without it', async () => {
    await page.getByRole('button', { name: 'Figures of the check' }).click();
    await page.locator('.photos-patch-grid').getByText('N2', { exact: true }).click();
    expect((await job(page)).photos[0].leave_out).toEqual(['N2']);
    await page.waitForFunction(() => {
      const [work] = Object.values(window.sprayout.resultsStore.getState().photos);
      return work.state === 'done' && work.value.measured.card.check.patches_left_out.join() === 'N2';
    });
    await studied(page);
    expect(await auditOf(page)).toEqual([]);
  });

  it('let a panel and the target be outlined by keyboard alone', async () => {
    const press = async (name: string): Promise<void> => {
      await page.getByRole('button', { name, exact: true }).focus();
      await page.keyboard.press('Enter');
    };
    await press('Outline the target');
    await press('Place one in the middle');
    await page.getByRole('button', { name: 'Target', exact: true }).focus();
    await page.keyboard.press('Shift+ArrowLeft');
    await page.keyboard.press('Tab');
    await press('Add a panel');
    await press('Place one in the middle');
    const { target, panels } = await job(page);
    const [[targetLeft]] = target!.measured[0].corners_px!;
    const [[panelLeft]] = panels[6].measured[0].corners_px!;
    expect(panelLeft - targetLeft).toBeCloseTo(10, 6);
    await page.keyboard.press('Control+z');
    expect((await job(page)).panels).toHaveLength(6);
    expect(errors).toEqual([]);
  });

  it('take a panel by four taps, and one by a box', async () => {
    /** A place on the photo where it lies now: it comes into sight when drawing begins. */
    const at = async (u: number, v: number): Promise<[number, number]> => {
      const stage = (await page.locator('.photos-stage').boundingBox())!;
      return [stage.x + u * stage.width, stage.y + v * stage.height];
    };
    await page.getByRole('button', { name: 'Add a panel', exact: true }).click();
    for (const [u, v] of [
      [0.3, 0.05],
      [0.4, 0.05],
      [0.4, 0.2],
      [0.3, 0.2],
    ])
      await page.mouse.click(...(await at(u, v)));
    await page.getByRole('button', { name: 'Add a panel', exact: true }).click();
    await page.mouse.move(...(await at(0.3, 0.3)));
    await page.mouse.down();
    await page.mouse.move(...(await at(0.4, 0.45)), { steps: 4 });
    await page.mouse.up();
    const { panels } = await job(page);
    expect(panels).toHaveLength(8);
    expect(panels[7].measured[0].corners_px![2][0]).toBeGreaterThan(
      panels[7].measured[0].corners_px![0][0] + 50,
    );
  });
});

describe('a photo whose card is not found', () => {
  it('says why, and can be read by corners placed by hand, or with another card', async () => {
    const { page, context } = await harness.open();
    await startJob(page);
    const hidden = await sharp(await readFile(`${DEMO}sun-1.jpg`))
      .extract({ left: 0, top: 900, width: 2240, height: 780 })
      .jpeg()
      .toBuffer();
    await choose(page, [{ name: 'no card.jpg', buffer: hidden }]);
    const byHand = page.getByRole('button', { name: 'Place the four corners by hand' });
    await byHand.waitFor({ timeout: 60_000 });
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toMatch(/cannot be measured/);
    expect(await page.getByRole('button', { name: 'Take it again' }).isVisible()).toBe(true);
    expect(await auditOf(page)).toEqual([]);

    await page.locator('.notice input[type=file][accept*=json]').setInputFiles({
      name: 'card.json',
      mimeType: 'application/json',
      buffer: Buffer.from('{"format":1}'),
    });
    await page.locator('.notice .notice').waitFor();
    const card = await readFile(`${DEMO}bench-card.card.json`);
    await page
      .locator('.notice input[type=file][accept*=json]')
      .first()
      .setInputFiles({ name: 'shop.card.json', mimeType: 'application/json', buffer: card });
    await page.waitForFunction(
      () => window.sprayout.documentStore.getState().job?.photos[0].card !== undefined,
    );
    expect((await job(page)).photos[0].card).toBe('cards/shop.card.json');
    await studied(page);

    await byHand.click();
    await page.getByRole('button', { name: /Top left corner of the card/ }).focus();
    await page.keyboard.press('Shift+ArrowLeft');
    await page.keyboard.press('Tab');
    await page.getByRole('button', { name: 'Read with these corners' }).click();
    const corners = (await job(page)).photos[0].card_corners_px!;
    expect(corners[0][0]).toBeCloseTo(2240 / 4 - 10, 6);
    expect(corners[2]).toEqual([1680, 585]);
    await context.close();
  });
});

describe('the demo’s photos', () => {
  it('are told to be sound, and are accessible in both surroundings, with a panel selected, on desk and phone', async () => {
    const { page, context, errors } = await harness.open();
    await openDemo(page);
    expect(await page.getByRole('option', { name: /Sound/ }).count()).toBe(4);
    await page.locator('[data-panel=p5]').click();
    for (const theme of ['booth', 'judging'] as const) {
      await chooseTheme(page, theme);
      expect(await auditOf(page)).toEqual([]);
    }
    await page.setViewportSize({ ...PHONE, width: 360 });
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
    expect(await auditOf(page)).toEqual([]);
    await page.getByRole('button', { name: 'Name and recipe' }).click();
    expect(await auditOf(page)).toEqual([]);
    await page.getByRole('button', { name: 'Done' }).click();
    await visit(page, 'Match');
    expect(errors).toEqual([]);
    await context.close();
  });

  it('are put in order like an earlier photo of the same bench with one tap', async () => {
    const { page, context } = await harness.open();
    await openDemo(page);
    await choose(page, [await readSun()]);
    await page.getByRole('heading', { name: /outlines found/ }).waitFor({ timeout: 60_000 });
    // nothing becomes a new panel before it is said: the step that goes on brings the question into sight
    await studied(page);
    await page.getByRole('button', { name: 'Say which panel is each' }).click();
    const question = page.getByRole('heading', { name: /Which panel is each/ });
    expect(await question.evaluate((e) => e === document.activeElement)).toBe(true);
    expect((await job(page)).panels).toHaveLength(12);
    expect(await auditOf(page)).toEqual([]);
    const asBefore = page.getByRole('button', { name: /As in shop-1/ });
    await asBefore.click();
    const add = page.getByRole('button', { name: 'Add 6 panels and the target', exact: true });
    await add.click();
    await studied(page);
    expect(await undoLabel(page)).toBe('Add 6 panels and the target');
    // taken back, the choices are still there: added again, no panel is there twice
    await page.getByRole('button', { name: /^Undo/ }).click();
    await add.click();
    await studied(page);
    const { panels, target, photos } = await job(page);
    const added = photos.at(-1)!.id;
    expect(photos.at(-1)?.card).toBe('bench-card.card.json');
    const seen = panels.filter((p) => p.measured.some((m) => m.photo === added)).map((p) => p.id);
    expect(seen).toEqual(['p1', 'p2', 'p3', 'p4', 'p5', 'p6']);
    expect(target?.measured.some((m) => m.photo === added)).toBe(true);
    expect(panels).toHaveLength(12);
    await context.close();
  });

  it('are told by their colour, as a guess, beside the panel that waits for its photo', async () => {
    const { page, context } = await harness.open({ viewport: PHONE });
    await openOnePhoto(page);
    await page.evaluate(() =>
      window.sprayout.edit('Note a panel', (draft) => {
        // the last panel of the photo is sprayed, and not photographed yet
        draft.panels.at(-1)!.measured = [];
      }),
    );
    await studied(page);
    const waiting = (await job(page)).panels.at(-1)!;
    await choose(page, [{ name: 'again.jpg', buffer: await readFile(`${DEMO}sun-2.jpg`) }]);
    await page.getByRole('heading', { name: /outlines found/ }).waitFor({ timeout: 60_000 });
    await studied(page);
    const outlines = page.getByRole('radiogroup', { name: 'Outline', exact: true }).getByRole('radio');
    expect((await outlines.allTextContents()).filter((words) => words.endsWith('?')).length).toBeGreaterThan(
      2,
    );
    // every choice can be reached without moving anything sideways
    for (const chip of await page.locator('.photos-found .photos-chip').all()) {
      const box = (await chip.boundingBox())!;
      expect(box.x >= 0 && box.x + box.width <= PHONE.width).toBe(true);
    }
    for (let n = 0; n < 7; n++) {
      const ask = page.getByRole('button', { name: /^Say which panel/ });
      if ((await ask.count()) === 0) break;
      await ask.click();
      const [at] = await page
        .getByRole('radiogroup', { name: 'Outline', exact: true })
        .getByRole('radio', { checked: true })
        .allTextContents();
      // the lid comes first, then the panels in their order
      const { id, name } = (await job(page)).panels[Number.parseInt(at, 10) - 2];
      await page.getByRole('radio', { name: name ?? id, exact: true }).click();
    }
    await page.getByRole('button', { name: /and the target, as guessed$/ }).click();
    await studied(page);
    const after = await job(page);
    expect(after.panels).toHaveLength(6);
    expect(after.panels.find((p) => p.id === waiting.id)?.measured).toHaveLength(1);
    for (const panel of after.panels.filter((p) => p.id !== waiting.id))
      expect(panel.measured).toHaveLength(2);
    expect(after.target?.measured).toHaveLength(2);
    await context.close();
  });

  it('taken again keep the names, recipes and places of what they show', async () => {
    const { page, context } = await harness.open();
    await openDemo(page);
    const before = await job(page);
    const here = (of: Job, photo: string): string[] =>
      of.panels.filter((p) => p.measured.some((m) => m.photo === photo)).map((p) => p.id);
    await page.getByRole('option', { name: /sun-1/ }).click();
    await page.getByRole('button', { name: 'Card, name and more' }).click();
    // from a little further to the left and nearer
    const { width = 0, height = 0 } = await sharp(`${DEMO}sun-1.jpg`).metadata();
    const moved = await sharp(`${DEMO}sun-1.jpg`)
      .extract({ left: 30, top: 20, width: width - 60, height: height - 45 })
      .keepIccProfile()
      .jpeg({ quality: 95 })
      .toBuffer();
    const [chooser] = await Promise.all([
      page.waitForEvent('filechooser'),
      page.getByRole('button', { name: 'Take it again' }).last().click(),
    ]);
    await chooser.setFiles({ name: 'again.jpg', mimeType: 'image/jpeg', buffer: moved });
    await page.getByRole('heading', { name: /outlines found/ }).waitFor({ timeout: 60_000 });
    await studied(page);
    await page.getByRole('button', { name: 'Add 6 panels and the target, as guessed' }).click();
    await studied(page);
    const after = await job(page);
    const [old] = before.photos;
    const again = after.photos[0];
    expect(after.photos).toHaveLength(4);
    expect(again).toMatchObject({ name: 'again.jpg', light: old.light, card: old.card });
    expect(here(after, again.id)).toEqual(expect.arrayContaining(here(before, old.id)));
    for (const panel of before.panels)
      expect({ ...after.panels.find((p) => p.id === panel.id), measured: [] }).toEqual({
        ...panel,
        measured: [],
      });
    expect(after.panels).toHaveLength(before.panels.length);
    expect(after.target?.name).toBe(before.target?.name);
    expect(after.target?.measured).toHaveLength(4);
    await context.close();
  });

  it('are drawn on where the card and the panels truly lie, with their numbers', async () => {
    const { page, context } = await harness.open();
    await openOnePhoto(page, 'sun-1');
    const image = page.locator('.photos-stage img');
    await image.waitFor();
    await image.evaluate((img: HTMLImageElement) => img.decode());
    await page.waitForTimeout(300);
    await image.scrollIntoViewIfNeeded();
    const clip = (await image.boundingBox())!;
    const seen = PNG.sync.read(await page.screenshot({ clip }));
    const { width, height } = seen;
    const file = sharp(`${DEMO}sun-1.jpg`);
    const { width: fullWidth = 1 } = await file.metadata();
    const scale = clip.width / fullWidth;
    const [dx, dy] = [clip.x - Math.floor(clip.x), clip.y - Math.floor(clip.y)];
    // corners of the demo job: where the scene's own projection put the panels when the photo was rendered
    const truth = JSON.parse(await readFile(`${DEMO}kettle-lid.job.json`, 'utf8')) as Job;
    const panels = [...truth.panels, truth.target!].flatMap(({ measured }) =>
      measured.flatMap((m) => ('corners_px' in m && m.photo === 'sun-1' ? [m.corners_px as QuadPx] : [])),
    );
    expect(panels).toHaveLength(7);
    // the card's are compared with the command line's where the two are held to agree
    const card = await page.evaluate(() => {
      const work = window.sprayout.resultsStore.getState().photos['sun-1'];
      if (work.state !== 'done') throw new Error('the photo is not read');
      return work.value.measured.card.corners_px;
    });
    const points = (quad: QuadPx): string =>
      quad.map(([x, y]) => `${x * scale + dx},${y * scale + dy}`).join(' ');
    const polygon = (quad: QuadPx, colour: string, thick: number): string =>
      `<polygon points="${points(quad)}" fill="none" stroke="${colour}" stroke-width="${thick}"/>`;
    /** Lines alone as a picture: where they may lie, and nowhere else. */
    const drawn = async (shapes: string): Promise<PNG> => {
      const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><rect width="100%" height="100%" fill="#000"/>${shapes}</svg>`;
      return PNG.sync.read(await sharp(Buffer.from(svg)).png().toBuffer());
    };
    const plain = PNG.sync.read(
      await sharp(await file.clone().resize(width, height, { fit: 'fill', kernel: 'mitchell' }).toBuffer())
        .png()
        .toBuffer(),
    );
    const marks = await page.locator('.photos-mark').evaluateAll((all) =>
      all.map((e) => {
        const { x, y, width: w, height: h } = e.getBoundingClientRect();
        return { words: e.textContent, x, y, w, h };
      }),
    );
    expect(marks.map((m) => m.words)).toEqual(['T', '1', '2', '3', '4', '5', '6']);
    const boxes = marks
      .map(
        (m) =>
          `<rect x="${m.x - clip.x - 3}" y="${m.y - clip.y - 3}" width="${m.w + 6}" height="${m.h + 6}" fill="#fff"/>`,
      )
      .join('');
    const allowed = await drawn(
      `${polygon(card, '#fff', 8)}${panels.map((q) => polygon(q, '#fff', 12)).join('')}${boxes}`,
    );
    const difference = new PNG({ width, height });
    pixelmatch(seen.data, plain.data, difference.data, width, height, { threshold: 0.2, diffMask: true });
    const lightness = (x: number, y: number): number =>
      Math.min(...seen.data.subarray(4 * (y * width + x), 4 * (y * width + x) + 3));
    /** Least and largest lightness of the pixels up to so far from a place. */
    const around = ([x, y]: readonly [number, number], reach: number): readonly [number, number] => {
      const all: number[] = [];
      for (let v = Math.floor(y) - reach; v <= Math.floor(y) + reach; v++)
        for (let u = Math.floor(x) - reach; u <= Math.floor(x) + reach; u++)
          if (u >= 0 && v >= 0 && u < width && v < height) all.push(lightness(u, v));
      return [Math.min(...all), Math.max(...all)];
    };
    let outside = 0;
    for (let at = 0; at < seen.data.length; at += 4)
      if (difference.data[at + 3] > 0 && allowed.data[at] < 20) outside++;
    expect(outside).toBeLessThan(0.0005 * width * height);
    // along every true edge runs a light line with dark beside it; the target's is dashed
    for (const [i, quad] of panels.entries()) {
      const places = quad.flatMap(([x0, y0], k) => {
        const [x1, y1] = quad[(k + 1) % 4];
        return Array.from({ length: 40 }, (_, n): readonly [number, number] => [
          (x0 + ((x1 - x0) * n) / 40) * scale + dx,
          (y0 + ((y1 - y0) * n) / 40) * scale + dy,
        ]);
      });
      const onLine = places.filter((at) => around(at, 1)[1] > 170 && around(at, 3)[0] < 70);
      expect(onLine.length / places.length).toBeGreaterThan(i < 6 ? 0.9 : 0.5);
      const beside = places.map(([x, y]) => [x + 8, y + 8] as const);
      const stray = beside.filter((at) => around(at, 1)[1] > 170 && around(at, 3)[0] < 70);
      expect(stray.length / places.length).toBeLessThan(0.4);
    }
    await context.close();
  });

  it('are taken from files where there is no camera or it is denied', async () => {
    const { page, context } = await harness.open({ permissions: [] });
    await startJob(page);
    const [chooser] = await Promise.all([
      page.waitForEvent('filechooser'),
      page.getByRole('button', { name: 'Take a photo' }).click(),
    ]);
    const sun = await readSun();
    await chooser.setFiles({ ...sun, mimeType: 'image/jpeg' });
    await studied(page);
    expect((await job(page)).photos.map((p) => p.name)).toEqual(['bench.jpg']);
    await context.close();
  });
});
