// Timings as ratios within one run: npm run bench. Needs a built dist (npm run build); run it on a quiet machine.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { comparePanels } from '../../src/core/compare/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { measurePhoto } from '../../src/core/measure/index.ts';
import { readPhoto } from '../../src/node/read-photo.ts';
import { normalDraws } from '../compare/ensembles.ts';

const PROJECT = fileURLToPath(new URL('../../', import.meta.url));
const CLI = join(PROJECT, 'dist/cli.js');
const PHOTO = join(PROJECT, 'samples/demo/sun-1.jpg');

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1];
}

/** Median wall time of a Node process, ms. */
function processTime(args: readonly string[], times: number): number {
  return median(
    Array.from({ length: times }, () => {
      const start = performance.now();
      const { status, stderr } = spawnSync(process.execPath, args, { cwd: PROJECT, encoding: 'utf8' });
      if (status !== 0) throw new Error(stderr);
      return performance.now() - start;
    }),
  );
}

/** Peak resident memory of a call of the command line, MB. */
function peakMemory(args: readonly string[]): number {
  const script = `process.on('exit', () => console.error('peak ' + process.resourceUsage().maxRSS));
    process.argv = [process.argv[0], ${JSON.stringify(CLI)}, ...${JSON.stringify(args)}];
    await import(${JSON.stringify(CLI)});`;
  const { stderr } = spawnSync(process.execPath, ['--input-type=module', '-e', script], { encoding: 'utf8' });
  return Number(/peak (\d+)/.exec(stderr)?.[1]) / 1024;
}

function row(what: string, figure: string, goal: string, holds: boolean): void {
  console.log(`${holds ? ' ok ' : 'MISS'}  ${what.padEnd(50)}${figure.padStart(28)}   ${goal}`);
}

function benchHelp(): void {
  const bare = processTime(['-e', '0'], 15);
  const help = processTime([CLI, '--help'], 15);
  const limit = 1.5 * bare + 80;
  row(
    'sprayout --help',
    `${help.toFixed(0)} ms`,
    `≤ 1.5 × node -e 0 + 80 = ${limit.toFixed(0)} ms`,
    help <= limit,
  );
}

async function enlarged(folder: string, megapixels: number): Promise<string> {
  const { width, height } = await sharp(PHOTO).metadata();
  const factor = Math.sqrt((megapixels * 1e6) / (width * height));
  const path = join(folder, `${megapixels}mp.jpg`);
  await sharp(PHOTO)
    .resize({ width: Math.round(width * factor) })
    .keepMetadata()
    .jpeg({ quality: 92 })
    .toFile(path);
  return path;
}

/** Median time of the decoder's own decoding to pixels, the first in its process, ms: neither its start nor its loading. */
function decodeTime(photo: string, times: number): number {
  const script = `const sharp = (await import('sharp')).default; const start = performance.now();
    await sharp(${JSON.stringify(photo)}).raw().toBuffer(); console.log(performance.now() - start);`;
  return median(
    Array.from({ length: times }, () =>
      Number(spawnSync(process.execPath, ['--input-type=module', '-e', script], { cwd: PROJECT }).stdout),
    ),
  );
}

/** A panels file of what is found in a photo. */
function panelsFile(folder: string, photo: string): string {
  const { stdout } = spawnSync(process.execPath, [CLI, 'measure', photo, '--json'], { encoding: 'utf8' });
  const found = JSON.parse(stdout).photos[0].panels as { id: string; corners_px: unknown }[];
  const panels = found.map(({ id, corners_px }) => ({ id, corners_px }));
  const path = join(folder, 'panels.json');
  writeFileSync(path, JSON.stringify({ format: 'sprayout-panels/1', panels }));
  return path;
}

function benchMeasure(photo: string, panels: string): void {
  const decode = decodeTime(photo, 5);
  const limit = 2 * decode + 250;
  const timed = (what: string, more: readonly string[]): number => {
    const time = processTime([CLI, 'measure', photo, '--json', ...more], 5);
    const goal = `≤ 2 × decode (${decode.toFixed(0)} ms) + 250 = ${limit.toFixed(0)} ms`;
    row(`measure, 12 MP JPEG, ${what}`, `${time.toFixed(0)} ms`, goal, time <= limit);
    return time;
  };
  timed('panels given, whole process', ['--panels', panels]);
  const one = timed('panels found, whole process', []);
  const ten = processTime([CLI, 'measure', ...Array<string>(10).fill(photo), '--json'], 1);
  row('ten photos in one call', `${(ten / one).toFixed(1)} × one`, '≤ 10 × one', ten <= 10 * one);
}

/** The same photo in HEVC tiles of 512 px, as phones write it. */
function benchHeic(folder: string, photo: string, panels: string): void {
  const heic = join(folder, '12mp.heic');
  const maker = join(PROJECT, 'tests/bench/make-tiled-heic.ts');
  const made = spawnSync(process.execPath, ['--import', 'tsx', maker, photo, heic], { cwd: PROJECT });
  if (made.status !== 0) {
    console.log('      measure, 12 MP HEIC: left out, heif-enc is not at hand');
    return;
  }
  for (const [what, more] of [
    ['given', ['--panels', panels]],
    ['found', []],
  ] as const) {
    const time = processTime([CLI, 'measure', heic, '--json', ...more], 5);
    const name = `measure, 12 MP HEIC, panels ${what}, whole process`;
    row(name, `${time.toFixed(0)} ms`, '≤ 1500 ms', time <= 1500);
  }
}

/** The same without starting a process: what each further photo of a call costs. */
async function benchMeasureWarm(photo: string): Promise<void> {
  const decodes: number[] = [];
  const measures: number[] = [];
  for (let i = 0; i < 6; i++) {
    const start = performance.now();
    await sharp(photo).raw().toBuffer();
    const decoded = performance.now();
    const { raster } = await readPhoto(photo);
    measurePhoto(raster);
    decodes.push(decoded - start);
    measures.push(performance.now() - decoded);
  }
  // the first is a warm-up
  const [decode, measure] = [median(decodes.slice(1)), median(measures.slice(1))];
  const limit = 2 * decode + 250;
  row(
    'measure, 12 MP JPEG, warm',
    `${measure.toFixed(0)} ms`,
    `≤ 2 × decode (${decode.toFixed(0)} ms) + 250 = ${limit.toFixed(0)} ms`,
    measure <= limit,
  );
}

function benchMemory(photo: string): void {
  const peak = peakMemory(['measure', photo, '--json']);
  row('measure, 48 MP JPEG, peak memory', `${peak.toFixed(0)} MB`, '≤ 900 MB', peak <= 900);
}

function benchCompare(): void {
  const random = seededRandom(1);
  const labs = Array.from({ length: 30 }, (_, i) => {
    return [`p${i}`, [35 + 8 * random.normal(), 40 + 6 * random.normal(), 20 + 6 * random.normal()]] as const;
  });
  const colours = normalDraws(Object.fromEntries(labs) as never, 0.4, 1, 256, random);
  const times = Array.from({ length: 15 }, () => {
    const start = performance.now();
    comparePanels(colours);
    return performance.now() - start;
  });
  row(
    'compare 30 panels, 435 pairs × 256 draws',
    `${median(times).toFixed(0)} ms`,
    '≤ 100 ms',
    median(times) <= 100,
  );
}

const folder = mkdtempSync(join(tmpdir(), 'sprayout-bench-'));
try {
  benchHelp();
  benchCompare();
  const photo = await enlarged(folder, 12);
  const panels = panelsFile(folder, photo);
  benchMeasure(photo, panels);
  benchHeic(folder, photo, panels);
  await benchMeasureWarm(photo);
  benchMemory(await enlarged(folder, 48));
} finally {
  rmSync(folder, { recursive: true });
}
