/** Finding panels by themselves in the app: the trained finder as on the command line, and what there is without it. */
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import type { BrowserContext, Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import type { Job } from '../../shared/schemas/job.ts';
import type { FoundPanels } from '../../src/app/worker/protocol.ts';
import type { PlacedCard } from '../../src/core/card/types.ts';
import { parseJob } from '../../src/core/job/index.ts';
import { readPhoto as readJobPhoto } from '../../src/core/measure/index.ts';
import { findPanels } from '../../src/core/panel/index.ts';
import { outlinePanels, pictureForFinder } from '../../src/core/panel/outline/index.ts';
import type { QuadPx, Raster } from '../../src/core/photo/index.ts';
import { loadFinder } from '../../src/node/finder.ts';
import { readCard, readPhoto } from '../../src/node/index.ts';
import { type Harness, openDemo, openOnePhoto, startHarness, studied } from './harness.ts';

const DEMO = fileURLToPath(new URL('../../samples/demo/', import.meta.url));
const FINDER_FILES = /\.onnx$|ort[.-]/;
let harness: Harness;
let job: Job;
let png: Buffer;
let raster: Raster;
let cards: readonly PlacedCard[];

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
  // without loss, so that both decoders give the same pixels
  png = await sharp(`${DEMO}sun-2.jpg`).keepIccProfile().png({ compressionLevel: 3 }).toBuffer();
  ({ raster } = await readPhoto(png, 'sun-2.png'));
  job = await jobWithoutOutlines();
  const card = await readCard(`${DEMO}bench-card.card.json`);
  cards = readJobPhoto(job, job.photos[0], { raster, card }).card.placed;
});
afterAll(() => harness.close());

async function jobWithoutOutlines(): Promise<Job> {
  const demo = parseJob(JSON.parse(await readFile(`${DEMO}kettle-lid.job.json`, 'utf8')), 'the demo');
  const { target: _, ...rest } = demo;
  return {
    ...rest,
    photos: demo.photos.filter((p) => p.id === 'sun-2').map((p) => ({ ...p, file: 'sun-2.png' })),
    panels: demo.panels.map((p) => ({ ...p, measured: [] })),
  };
}

/** Opens the job in the demo's place; `without` are files that cannot be had. */
async function opened(without?: RegExp): Promise<{ page: Page; context: BrowserContext; fetched: string[] }> {
  const { page, context } = await harness.open({ serviceWorkers: 'block' });
  const fetched: string[] = [];
  context.on('request', (request) => fetched.push(request.url()));
  await context.route('**/demo/kettle-lid.job.json', (route) => route.fulfill({ json: job }));
  await context.route('**/demo/sun-2.png', (route) => route.fulfill({ body: png, contentType: 'image/png' }));
  if (without) await context.route(without, (route) => route.abort());
  await openDemo(page);
  return { page, context, fetched };
}

async function found(page: Page, photoId = 'sun-2'): Promise<FoundPanels> {
  const part = await page.evaluate(
    async (photo) =>
      window.sprayout.ask(async (bench, request, source) => bench.findPanels(request, photo, source)),
    photoId,
  );
  if (!part.ok) throw new Error(part.problem.message);
  return part.value;
}

function expectSame(
  panels: FoundPanels['panels'],
  wanted: readonly { readonly id: string; readonly corners_px: QuadPx }[],
): void {
  expect(panels.map((p) => p.id)).toEqual(wanted.map((p) => p.id));
  // the network's two runtimes add in another order
  for (const [i, { corners_px }] of wanted.entries())
    for (const [k, corner] of corners_px.entries())
      for (const axis of [0, 1])
        expect(Math.abs(panels[i].corners_px[k][axis] - corner[axis])).toBeLessThan(0.005);
}

describe('panels found by themselves in the app', () => {
  it('are the command line’s, and are offered', async () => {
    const { page, context, fetched } = await opened();
    const { panels, warnings } = await found(page);
    const maps = await (await loadFinder())?.(pictureForFinder(raster));
    if (!maps) throw new Error('the trained finder is missing here');
    const wanted = outlinePanels(raster, cards, maps);
    expect(warnings).toEqual([]);
    expect(wanted.length).toBeGreaterThan(1);
    expectSame(panels, wanted);
    await page.getByRole('heading', { name: new RegExp(`^${wanted.length} outlines found`) }).waitFor();
    expect(fetched.some((url) => FINDER_FILES.test(url))).toBe(true);
    await context.close();
  });

  it('are found without a network once the finder has been used', async () => {
    const { page, context } = await harness.open();
    await openOnePhoto(page);
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    await page.reload();
    await studied(page);
    const { panels, warnings } = await found(page);
    expect(warnings).toEqual([]);
    await context.setOffline(true);
    await page.reload();
    await studied(page);
    expect(await found(page)).toEqual({ panels, warnings: [] });
    await context.close();
  });

  it('are found by the plain finder, which is said, when the trained one cannot be loaded', async () => {
    for (const missing of [/\.onnx$/, /ort-wasm.*\.wasm$/]) {
      const { page, context } = await opened(missing);
      const { panels, warnings } = await found(page);
      expect(warnings.map((w) => w.code)).toEqual(['finder-missing']);
      expectSame(panels, findPanels(raster, cards));
      await page
        .getByText(/found by a plainer rule/)
        .first()
        .waitFor();
      await context.close();
    }
  });

  it('have their network fetched when it is first needed, not before', async () => {
    const { page, context } = await harness.open({ serviceWorkers: 'block' });
    const fetched: string[] = [];
    context.on('request', (request) => fetched.push(request.url()));
    await openOnePhoto(page);
    expect(fetched.filter((url) => FINDER_FILES.test(url))).toEqual([]);
    await context.close();
  });
});
