/** HEIC photos: the pixels by our build of libde265, by libheif where it is an unusual one; both loaded when needed. */
import { createRequire } from 'node:module';
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { Warning } from '../core/errors.ts';
import { decodeHeif, type Heif, refuseTooLarge, withProfile } from '../core/photo/heif/decode.ts';
import { type HeifGrid, heifGrid, uprightSize } from '../core/photo/heif/grid.ts';
import { copyFactor, decodeTiles, gridOfCopy, type TilesInto } from '../core/photo/heif/tiles.ts';
import type { Raster } from '../core/photo/types.ts';
import type { TilesAsked } from './heic-thread.ts';
import { newHevc } from './hevc.ts';

/** Photos with fewer pixels are decoded sooner than threads have started. */
const WORTH_THREADS = 2e6;
/** More than this many threads spend their time on loading the decoder. */
const MOST_THREADS = 3;

/** A decoded HEIC photo. */
export interface HeicAsRead {
  readonly raster: Raster;
  readonly warnings: readonly Warning[];
  /** A copy `factor` times smaller that came off beside it, of large photos of the usual kind. */
  readonly copy: { readonly raster: Raster; readonly factor: number } | undefined;
}

/** As `decodeHeif`, tiles shared among threads. Throws SprayoutError `image-too-large`, `image-broken`. */
export async function readHeic(bytes: Uint8Array, name: string, maxPixels: number): Promise<HeicAsRead> {
  const grid = heifGrid(bytes);
  if (grid) {
    refuseTooLarge(name, grid.width_px, grid.height_px, maxPixels);
    const decoded = await tilesOf(bytes, grid);
    if (decoded) return fromTiles(bytes, name, grid, decoded);
  }
  const heif = createRequire(import.meta.url)('libheif-js/wasm-bundle') as Heif;
  // the decoder logs what it cannot read; stdout belongs to the answer
  const { log } = console;
  console.log = () => {};
  try {
    return { ...(await decodeHeif(heif, bytes, name, maxPixels)), copy: undefined };
  } finally {
    console.log = log;
  }
}

function fromTiles(bytes: Uint8Array, name: string, grid: HeifGrid, { photo, copy }: TilesInto): HeicAsRead {
  const rasterOf = (of: HeifGrid, data: Uint8Array): { raster: Raster; warnings: Warning[] } => {
    const [width_px, height_px] = uprightSize(of);
    return withProfile(bytes, name, { width_px, height_px, data });
  };
  const factor = copyFactor(grid);
  return {
    ...rasterOf(grid, photo),
    copy: copy && { raster: rasterOf(gridOfCopy(grid, factor), copy).raster, factor },
  };
}

/** The picture, upright; undefined where it is of an unusual kind or broken: libheif then reads it, or says why not. */
async function tilesOf(bytes: Uint8Array, grid: HeifGrid): Promise<TilesInto | undefined> {
  const pixels = grid.width_px * grid.height_px;
  const count = Math.min(MOST_THREADS, Math.max(1, availableParallelism()), grid.tiles.length);
  if (count > 1 && pixels > WORTH_THREADS) return tilesByThreads(bytes, grid, count);
  const into = { photo: new Uint8Array(3 * pixels), copy: undefined };
  try {
    decodeTiles(newHevc(), bytes, grid, grid.tiles.keys(), into);
    return into;
  } catch {
    return undefined;
  }
}

async function tilesByThreads(
  bytes: Uint8Array,
  grid: HeifGrid,
  count: number,
): Promise<TilesInto | undefined> {
  const shared = (size: number): Uint8Array => new Uint8Array(new SharedArrayBuffer(size));
  const sharedBytes = shared(bytes.length);
  sharedBytes.set(bytes);
  const samples = 3 * grid.width_px * grid.height_px;
  const factor = copyFactor(grid);
  const into = { photo: shared(samples), copy: factor > 1 ? shared(samples / factor ** 2) : undefined };
  const next = new Int32Array(new SharedArrayBuffer(4));
  const asked: TilesAsked = { bytes: sharedBytes, grid, into, next };
  const done = await Promise.all(Array.from({ length: count }, () => threadDone(asked)));
  return done.every(Boolean) ? into : undefined;
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
