/** The app and the command line read the same numbers from the same photos. */
import { deflateSync } from 'node:zlib';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import type { Ladder } from '../../src/core/advise/ladder.ts';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { surfacesIn } from '../../src/core/lights/index.ts';
import { measureJob, readPhoto as readJobPhoto } from '../../src/core/measure/index.ts';
import { adviseJob, compareJob, fitJobFilm, type Part } from '../../src/core/study/index.ts';
import { readCard, readJob, readJobPhotos, readPhoto } from '../../src/node/index.ts';
import { DEMO_FOLDER, demoOfOnePhoto } from '../job/one-photo.ts';
import { answersOf } from './console.ts';
import { type Harness, openDemo, startHarness } from './harness.ts';

let harness: Harness;

beforeAll(async () => {
  harness = await startHarness(inject('appFolder'));
});
afterAll(() => harness.close());

describe('the app and the command line', () => {
  it('agree on the demo’s JPEG photos but for the decoders, whose difference stays below .1', async () => {
    const { page, context } = await harness.open();
    await openDemo(page);
    const answers = await answersOf(page);
    const ladder = await page.evaluate(async () =>
      window.sprayout.ask(async (bench) => (await bench.ladder()) as Part<Ladder>),
    );
    await context.close();
    const jobFile = await readJob(`${DEMO_FOLDER}kettle-lid.job.json`);
    const { photos } = await readJobPhotos(jobFile);
    const measured = measureJob(jobFile.job, photos);
    const { ids, lab } = measured.colours;
    expect(Object.keys(answers.lab)).toEqual(ids);
    for (const [i, id] of ids.entries())
      expect(deltaE2000(answers.lab[id] as unknown as Lab, lab[i])).toBeLessThan(0.1);
    const advice = adviseJob(jobFile.job, fitJobFilm(jobFile.job, measured));
    expect(answers.suggestions[0].words.split(';')[0]).toBe(advice.suggestions[0].words.split(';')[0]);
    const [{ ground, coats, mix }] = advice.suggestions;
    const sheet = ladder.ok ? ladder.value.sheets.find((s) => s.next) : undefined;
    const [row, column] = sheet?.next ?? [-1, -1];
    expect(sheet?.recipes[row][column]).toMatchObject({ ground, coats, carrier: mix.carrier });
  });

  it('agree to the last digit on a Display P3 photo without loss: its values come through unconverted', async () => {
    const name = 'sun-2.png';
    const bytes = await withP3Profile(`${DEMO_FOLDER}sun-2.jpg`);
    const job = await demoOfOnePhoto('sun-2', name);
    const { page, context } = await harness.open({ serviceWorkers: 'block' });
    await page.route('**/demo/kettle-lid.job.json', (route) => route.fulfill({ json: job }));
    await page.route(`**/demo/${name}`, (route) => route.fulfill({ body: bytes, contentType: 'image/png' }));
    await openDemo(page);
    const answers = await answersOf(page);
    const surface = await page.evaluate(async () =>
      window.sprayout.ask(async (bench, request, source) => bench.surfaces(request, 'sun-2', source)),
    );
    await context.close();
    const { raster } = await readPhoto(bytes, name);
    expect(raster.profile.name).toMatch(/P3/);
    const card = await readCard(`${DEMO_FOLDER}bench-card.card.json`);
    const measured = measureJob(job, new Map([['sun-2', { raster, card }]]));
    for (const [i, id] of measured.colours.ids.entries())
      for (const [axis, value] of measured.colours.lab[i].entries())
        expect(answers.lab[id][axis]).toBeCloseTo(value, 6);
    for (const { panel, de00 } of compareJob(job, measured).target)
      expect(answers.de00[panel]).toBeCloseTo(de00, 6);
    const read = readJobPhoto(job, job.photos[0], { raster, card });
    const surfaces = surfacesIn(raster, job.photos[0], read);
    if (!surface.ok) throw new Error(surface.problem.message);
    expect(surface.value.panels.map((p) => p.panel)).toEqual(surfaces.map((s) => s.panel));
    surfaces.forEach(({ texture, evenness }, i) => {
      const shown = surface.value.panels[i];
      expect(shown.texture === undefined).toBe(texture === undefined);
      if (texture) expect(shown.texture?.figure).toBeCloseTo(texture.figure, 6);
      expect(shown.evenness?.mean_de00).toBeCloseTo(evenness?.mean_de00 ?? Number.NaN, 6);
      expect(shown.evenness?.kind).toBe(evenness?.kind);
    });
  });
});

/** The encoded values of a JPEG as a PNG that calls them Display P3. */
async function withP3Profile(path: string): Promise<Buffer> {
  const { data, info } = await sharp(path).raw().toBuffer({ resolveWithObject: true });
  const plain = await sharp(data, { raw: info }).png({ compressionLevel: 3 }).toBuffer();
  const tagged = await sharp({ create: { width: 1, height: 1, channels: 3, background: '#000' } })
    .withIccProfile('p3')
    .png()
    .toBuffer();
  const icc = (await sharp(tagged).metadata()).icc as Buffer;
  const body = Buffer.concat([Buffer.from('p3\0\0'), deflateSync(icc)]);
  const header = 8 + 25;
  return Buffer.concat([plain.subarray(0, header), chunk('iCCP', body), plain.subarray(header)]);
}

function chunk(kind: string, body: Buffer): Buffer {
  const named = Buffer.concat([Buffer.from(kind), body]);
  const out = Buffer.alloc(4 + named.length + 4);
  out.writeUInt32BE(body.length, 0);
  named.copy(out, 4);
  out.writeUInt32BE(crc32(named), 4 + named.length);
  return out;
}

/** CRC-32 of PNG (ISO 3309), bit by bit. */
function crc32(bytes: Buffer): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let k = 0; k < 8; k++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}
