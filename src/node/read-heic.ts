/** HEIC photos: the pixels by libheif (wasm), loaded when the first one comes; the colour space by our own reader. */
import { createRequire } from 'node:module';
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { Warning } from '../core/errors.ts';
import { decodeHeif, type Heif, refuseTooLarge, withProfile } from '../core/photo/heif/decode.ts';
import { type HeifGrid, heifGrid, uprightSize } from '../core/photo/heif/grid.ts';
import type { Raster } from '../core/photo/types.ts';
import type { TilesAsked } from './heic-thread.ts';

/** Photos with fewer pixels are decoded sooner than threads have started. */
const WORTH_THREADS = 2e6;
/** More than this many threads spend their time on loading the decoder. */
const MOST_THREADS = 3;

/** As `decodeHeif`, tiles shared among threads. Throws SprayoutError `image-too-large`, `image-broken`. */
export async function readHeic(
  bytes: Uint8Array,
  name: string,
  maxPixels: number,
): Promise<{ raster: Raster; warnings: Warning[] }> {
  const grid = heifGrid(bytes);
  if (grid && grid.width_px * grid.height_px > WORTH_THREADS) {
    refuseTooLarge(name, grid.width_px, grid.height_px, maxPixels);
    const data = await tilesByThreads(bytes, grid);
    if (data) {
      const [width_px, height_px] = uprightSize(grid);
      return withProfile(bytes, name, { width_px, height_px, data });
    }
  }
  const heif = createRequire(import.meta.url)('libheif-js/wasm-bundle') as Heif;
  // the decoder logs what it cannot read; stdout belongs to the answer
  const { log } = console;
  console.log = () => {};
  try {
    return await decodeHeif(heif, bytes, name, maxPixels);
  } finally {
    console.log = log;
  }
}

/** The picture, upright; undefined where a thread fails: decoding it as a whole then says why. */
async function tilesByThreads(bytes: Uint8Array, grid: HeifGrid): Promise<Uint8Array | undefined> {
  const shared = new Uint8Array(new SharedArrayBuffer(bytes.length));
  shared.set(bytes);
  const asked: TilesAsked = {
    bytes: shared,
    grid,
    into: new Uint8Array(new SharedArrayBuffer(3 * grid.width_px * grid.height_px)),
    next: new Int32Array(new SharedArrayBuffer(4)),
  };
  const count = Math.min(MOST_THREADS, Math.max(1, availableParallelism()));
  const done = await Promise.all(Array.from({ length: count }, () => threadDone(asked)));
  return done.every(Boolean) ? asked.into : undefined;
}

function threadDone(asked: TilesAsked): Promise<boolean> {
  return new Promise((resolve) => {
    // built from heic-thread.ts beside the part this ends in
    const thread = new Worker(new URL('./heic-thread.js', import.meta.url), { workerData: asked });
    const end = (isDone: boolean): void => {
      resolve(isDone);
      // its compiler may be at work still
      void thread.terminate();
    };
    thread.once('message', () => end(true));
    thread.once('error', () => end(false));
    thread.once('exit', () => resolve(false));
  });
}
