import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { converter } from 'culori';
import jsQR from 'jsqr';
import { PDFDocument, PDFName, PDFRawStream } from 'pdf-lib';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { parseBoardCode } from '../../src/core/board/index.ts';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { jobOf } from '../board/board-job.ts';
import { pdfTexts } from '../board/pdf-text.ts';
import { writeDemoOfOnePhoto } from '../job/one-photo.ts';
import { buildCommandLine, type CommandLine, PROJECT, refusalOf } from './command-line.ts';
import { refused } from './refused.ts';

const DEMO = join(PROJECT, 'samples/demo/kettle-lid.job.json');
let cli: CommandLine;
let folder: string;
/** A job of one photo. */
let lid: string;

beforeAll(async () => {
  cli = await buildCommandLine();
  folder = await mkdtemp(join(tmpdir(), 'sprayout-board-'));
  lid = await writeDemoOfOnePhoto(join(folder, 'lid'), 'sun-2');
});
afterAll(async () => {
  await rm(folder, { recursive: true });
});

/** CIELAB under D50 of a JPEG's mean light, by culori. */
async function meanLab(jpeg: Uint8Array): Promise<Lab> {
  const pixels = await sharp(jpeg, {}).keepIccProfile().raw().toBuffer();
  const linear = Float64Array.from({ length: 256 }, (_, code) => {
    const v = code / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  });
  const encode = (v: number): number => (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
  const sum = [0, 0, 0];
  for (let i = 0; i < pixels.length; i++) sum[i % 3] += linear[pixels[i]];
  const [r, g, b] = sum.map((s) => encode((3 * s) / pixels.length));
  const lab = converter('lab')({ mode: 'rgb', r, g, b });
  return [lab.l, lab.a, lab.b];
}

describe('sprayout board', () => {
  it('makes a PDF whose pictures have the measured colours as their mean, and nothing of the photos’ own data', async () => {
    const out = join(folder, 'lid.pdf');
    const { status, stdout } = await cli.run([
      'board',
      DEMO,
      '--out',
      out,
      '--per-sheet',
      '6',
      '--maker',
      'The workshop',
      '--json',
    ]);
    expect(status).toBe(0);
    const answer = JSON.parse(stdout);
    expect(answer.files).toEqual([out]);
    expect(answer.panels).toHaveLength(12);
    const bytes = await readFile(out);
    const text = (await pdfTexts(bytes)).flat().join('\n');
    expect(text).toContain('5:1, three coats on gold');
    expect(text).toMatch(/The workshop, \d+ \w+ \d{4}/);
    const pdf = await PDFDocument.load(bytes);
    const images = pdf.context
      .enumerateIndirectObjects()
      .flatMap(([, o]) =>
        o instanceof PDFRawStream && o.dict.get(PDFName.of('Subtype')) === PDFName.of('Image')
          ? [o.contents]
          : [],
      );
    expect(images).toHaveLength(13);
    const shown = await Promise.all(images.map(meanLab));
    for (const { id, lab, picture } of answer.panels) {
      expect(picture.within, id).toBe(true);
      // glare that lies on a panel stays in its picture, beside the surface whose mean is exact
      const nearest = Math.min(...shown.map((s) => deltaE2000(s, lab)));
      expect(deltaE2000(picture.shown_lab, lab), id).toBeLessThan(0.3);
      expect(nearest, id).toBeLessThan(0.3);
    }
    for (const image of images) {
      const { exif, xmp, iptc, icc } = await sharp(image).metadata();
      expect([exif, xmp, iptc]).toEqual([undefined, undefined, undefined]);
      expect(icc).toBeDefined();
    }
  });

  it('makes a picture of 1200 × 1500 that carries its profile and the code of the record', async () => {
    const out = join(folder, 'lid.png');
    const { status } = await cli.run(['board', lid, '--panel', 'p7', '--out', out]);
    expect(status).toBe(0);
    const { width, height, icc, exif } = await sharp(out).metadata();
    expect([width, height]).toEqual([1200, 1500]);
    expect(icc).toBeDefined();
    expect(exif).toBeUndefined();
    const { data, info } = await sharp(out).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
    const code = parseBoardCode(jsQR(new Uint8ClampedArray(data), info.width, info.height)?.data ?? '');
    expect(code.panels[0].id).toBe('p7');
    expect(code.panels[0].recipe).toBe('garnet:5 amber:1 /5 x3 gold clear');
  });

  it('numbers the pictures of several sheets, and makes a web page with the ladder in it', async () => {
    const job = join(folder, 'range.job.json');
    await writeFile(job, JSON.stringify(jobOf(['p5', 'p7', 'p8', 'p9'].map((id) => ({ id })))));
    const panels = ['p5', 'p7', 'p9'].flatMap((id) => ['--panel', id]);
    const out = join(folder, 'range.png');
    const { stdout } = await cli.run(['board', job, ...panels, '--per-sheet', '2', '--out', out, '--json']);
    expect(JSON.parse(stdout).files).toEqual([1, 2].map((i) => join(folder, `range-${i}.png`)));
    await cli.run(['board', lid, '--panel', 'p7', '--ladder', '--out', join(folder, 'lid.html')]);
    expect(await readFile(join(folder, 'lid.html'), 'utf8')).toMatch(
      /<h2 dir="auto">Over pale gold<\/h2><table>/,
    );
  });

  it('warns of characters that the typeface lacks, by name', async () => {
    const job = join(folder, 'names.job.json');
    await writeFile(job, JSON.stringify(jobOf([{ id: 'p1', name: 'מזרק 金' }])));
    const { status, stderr } = await cli.run(['board', job, '--out', join(folder, 'names.pdf')]);
    expect(status).toBe(0);
    expect(stderr).toMatch(/warning: The board's typeface has no .*ז \(U\+05D6\).*金 \(U\+91D1\)/);
  });

  it.each([
    [['--out', 'lid.docx'], 'usage', /no name for a board/],
    [[], 'usage', /needs a file to write/],
    [['--out', 'lid.pdf', '--panel', 'p99'], 'usage', /no panel "p99"/],
    [['--out', 'lid.pdf', '--per-sheet', '13'], 'usage', /per-sheet/],
    [['--out', 'lid.pdf', '--paper', 'a3'], 'usage', /--paper a3/],
  ] as const)('refuses %j before it opens a photo', async (args, code, message) => {
    const refusal = await refused('board', [DEMO, ...args]);
    expect([refusal.status, refusal.code]).toEqual([2, code]);
    expect(refusal.message).toMatch(message);
    expect(refusal.told.join()).not.toMatch(/reading/);
  });

  it('leaves nothing half-written where it may not write, of several pictures neither', async () => {
    const job = join(folder, 'small.job.json');
    await writeFile(job, JSON.stringify(jobOf([{ id: 'p1' }, { id: 'p2' }])));
    const outcome = await cli.run(['board', job, '--out', join(folder, 'nowhere/lid.pdf'), '--json']);
    expect(outcome.status).toBe(2);
    expect(refusalOf(outcome).code).toBe('output-unwritable');
    const place = join(folder, 'place');
    // the second picture's name is taken by a folder
    await mkdir(join(place, 'lid-2.png'), { recursive: true });
    const second = await cli.run([
      'board',
      job,
      '--per-sheet',
      '1',
      '--out',
      join(place, 'lid.png'),
      '--json',
    ]);
    expect(second.status).toBe(2);
    expect(refusalOf(second).code).toBe('output-unwritable');
    expect(await readdir(place)).toEqual(['lid-2.png']);
  });
});

describe('sprayout readings', () => {
  it.each(['cgats', 'csv', 'cxf', 'json'])('writes %s', async (ending) => {
    const job = join(folder, 'readings.job.json');
    await writeFile(job, JSON.stringify(jobOf([{ id: 'p1' }, { id: 'p2' }])));
    const out = join(folder, `r.${ending}`);
    const { status, stdout } = await cli.run(['readings', job, '--out', out, '--json']);
    expect(status).toBe(0);
    expect(JSON.parse(stdout).readings.map((r: { id: string }) => r.id)).toEqual(['p1', 'p2', 'target']);
    expect((await readFile(out, 'utf8')).length).toBeGreaterThan(200);
  });

  it('refuses another ending', async () => {
    const refusal = await refused('readings', [DEMO, '--out', 'r.xls']);
    expect(refusal.status).toBe(2);
    expect(refusal.hint).toContain('.cgats');
  });
});
