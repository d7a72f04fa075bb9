/** HEIC and raw photos in the app: read by the same decoders as on the command line, fetched when the first one comes. */
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { randomScene, renderScene, type SceneOptions } from '../../samples/scene/index.ts';
import type { Job } from '../../shared/schemas/job.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { parseJob } from '../../src/core/job/index.ts';
import { measureJob } from '../../src/core/measure/index.ts';
import { readPhoto } from '../../src/node/index.ts';
import { dngFile } from '../node/dng-file.ts';
import { answersOf } from './console.ts';
import { type Harness, type OpenPage, openDemo, openOnePhoto, startHarness, studied } from './harness.ts';

const HEIC = fileURLToPath(new URL('../fixtures/bench-p3.heic', import.meta.url));
const DECODER = /hevc-.*\.wasm|libheif|decode-heic/;
let harness: Harness;

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
});
afterAll(() => harness.close());

type Corners = readonly (readonly [number, number])[];

function jobOf(file: string, places: readonly { readonly id: string; readonly corners_px: Corners }[]): Job {
  return parseJob(
    {
      format: 'sprayout-job/1',
      name: file,
      tints: [{ id: 't1', name: 'Test tint' }],
      grounds: [{ id: 'g1', name: 'Test ground' }],
      photos: [{ id: 'bench', file, light: 'shade' }],
      panels: places.map(({ id, corners_px }) => ({
        id,
        ground: 'g1',
        coats: 2,
        mix: { parts: { t1: 1 }, carrier: 0 },
        measured: [{ photo: 'bench', corners_px }],
      })),
    },
    file,
  );
}

/** Opens a job of one photo in the app in the demo's place, and tells which files that took. */
async function opened(job: Job, bytes: Uint8Array): Promise<OpenPage & { readonly fetched: string[] }> {
  const app = await harness.open({ serviceWorkers: 'block' });
  const fetched: string[] = [];
  app.context.on('request', (request) => fetched.push(request.url()));
  await app.page.route('**/demo/kettle-lid.job.json', (route) => route.fulfill({ json: job }));
  await app.page.route(`**/demo/${job.photos[0].file}`, (route) =>
    route.fulfill({ body: Buffer.from(bytes), contentType: 'application/octet-stream' }),
  );
  await openDemo(app.page);
  return { ...app, fetched };
}

async function expectSameNumbers(page: Page, job: Job, bytes: Uint8Array): Promise<void> {
  const answers = await answersOf(page);
  const { raster } = await readPhoto(bytes, job.photos[0].file);
  const { colours } = measureJob(job, new Map([['bench', { raster }]]));
  expect(Object.keys(answers.lab)).toEqual([...colours.ids]);
  for (const [i, id] of colours.ids.entries())
    for (const [axis, value] of colours.lab[i].entries()) expect(answers.lab[id][axis]).toBeCloseTo(value, 6);
}

/** Size in pixels of the picture that the screen shows of the photo. */
async function shownSize(page: Page): Promise<readonly number[]> {
  const image = page.locator('.photos-stage img');
  await image.waitFor();
  return image.evaluate(async (img: HTMLImageElement) => {
    await img.decode();
    return [img.naturalWidth, img.naturalHeight];
  });
}

describe('a HEIC photo in the app', () => {
  const scene = renderScene(
    randomScene(44, {
      family: 'tune',
      pixels: 'jpeg',
      space: 'p3',
      card: OWN_CARD,
      cardTier: 'measured',
      panels: 3,
      light: 'day',
    }),
    { width_px: 1200, height_px: 900, glareChance: 0 },
  );

  it('gives the command line’s numbers to the last digit, and is shown', async () => {
    const bytes = await readFile(HEIC);
    const job = jobOf('bench-p3.heic', scene.truth.panels as never);
    const { page, context, fetched, errors } = await opened(job, bytes);
    await expectSameNumbers(page, job, bytes);
    expect(fetched.some((url) => DECODER.test(url))).toBe(true);
    expect(await shownSize(page)).toEqual([1200, 900]);
    expect(errors).toEqual([]);
    await context.close();
  });

  it('has its decoder fetched by no other photo, and kept for when there is no network', async () => {
    const { page, context } = await harness.open();
    const fetched: string[] = [];
    context.on('request', (request) => fetched.push(request.url()));
    await openOnePhoto(page);
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    expect(fetched.filter((url) => DECODER.test(url))).toEqual([]);
    await page.reload();
    await studied(page);
    const bytes = (await readFile(HEIC)).toString('base64');
    expect(await addedPhoto(page, 'first', bytes)).toBe('done');
    await context.setOffline(true);
    await page.reload();
    await studied(page);
    expect(await addedPhoto(page, 'second', bytes)).toBe('done');
    await context.close();
  });

  it('that is cut short is refused in words', async () => {
    const bytes = (await readFile(HEIC)).subarray(0, 40_000);
    const { page, context } = await harness.open();
    await openOnePhoto(page);
    expect(await addedPhoto(page, 'cut', bytes.toString('base64'))).toBe('image-broken');
    await context.close();
  });
});

describe('a raw photo (DNG) in the app', () => {
  it('gives the command line’s numbers to the last digit, and is shown', async () => {
    const options: SceneOptions = {
      family: 'judge',
      pixels: 'linear',
      card: OWN_CARD,
      cardTier: 'measured',
      panels: 3,
      light: 'day',
    };
    const size = { width_px: 2000, height_px: 1500, glareChance: 0 };
    const raw = renderScene(randomScene(31, options), size);
    const bytes = dngFile(
      { ...size, light: (x, y, c) => raw.data[3 * (y * size.width_px + x) + c] / 65535 },
      { bits: 16, white: 16383, black: 512 },
    );
    const places = raw.truth.panels.map(({ id, corners_px }) => ({
      id,
      corners_px: corners_px.map(([x, y]) => [x / 2, y / 2] as const),
    }));
    const job = jobOf('bench.dng', places);
    const { page, context, errors } = await opened(job, bytes);
    await expectSameNumbers(page, job, bytes);
    expect(await shownSize(page)).toEqual([1000, 750]);
    expect(errors).toEqual([]);
    await context.close();
  });
});

/** Adds a photo with the project's own card; `done` when it was read, else the code of its refusal. */
async function addedPhoto(page: Page, id: string, base64: string): Promise<string> {
  await page.evaluate(
    async ([photo, bytes]) => {
      const blob = new Blob([Uint8Array.from(atob(bytes), (c) => c.charCodeAt(0))]);
      await window.sprayout.edit(
        'Add photo',
        (d) => {
          d.photos.push({ id: photo, file: `photos/${photo}`, light: 'shade', view: 'face' });
        },
        { photos: [{ id: photo, blob }] },
      );
    },
    [id, base64] as const,
  );
  await studied(page);
  await page.waitForFunction((photo) => {
    const work = window.sprayout.resultsStore.getState().photos[photo];
    return work?.state === 'done' || work?.state === 'failed';
  }, id);
  return page.evaluate((photo) => {
    const work = window.sprayout.resultsStore.getState().photos[photo];
    return work?.state === 'failed' ? work.problem.code : 'done';
  }, id);
}
