/**
 * HEIC photos: the pixels by the machine's own decoder where its package is installed, else by our build of libde265, by
 * libheif where it is an unusual one; each loaded when needed.
 */
import { createRequire } from 'node:module';
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { Warning } from '../core/errors.ts';
import { decodeHeif, type Heif, refuseTooLarge, withProfile } from '../core/photo/heif/decode.ts';
import { type HeifGrid, heifGrid, uprightSize } from '../core/photo/heif/grid.ts';
import { decodeByStandard } from '../core/photo/heif/standard.ts';
import { decodeTiles, untakenTiles } from '../core/photo/heif/tiles.ts';
import type { Raster } from '../core/photo/types.ts';
import type { TilesAsked } from './heic-thread.ts';
import { nativeCodecs, newHevc, newPlanes } from './hevc.ts';

/** Photos with fewer pixels are decoded sooner than threads have started. */
const WORTH_THREADS = 2e6;
/** More than this many threads, the caller's among them, spend their time on loading the decoder. */
const MOST_THREADS = 3;

/** A decoded HEIC photo. */
export interface HeicAsRead {
  readonly raster: Raster;
  readonly warnings: readonly Warning[];
}

/** A HEIC photo being decoded. */
export interface OpenedHeic {
  readonly photo: Promise<HeicAsRead>;
  /** Decodes along until the photo is there: to be called when this thread has nothing better to do. */
  readonly help: () => void;
}

/** As `decodeHeif`, tiles shared among threads. Throws SprayoutError `image-too-large`; later, `image-broken`. */
export function openHeic(bytes: Uint8Array, name: string, maxPixels: number): OpenedHeic {
  const grid = heifGrid(bytes);
  if (!grid) return { photo: unusual(bytes, name, maxPixels), help: () => {} };
  refuseTooLarge(name, grid.width_px, grid.height_px, maxPixels);
  const { decoded, help } = tilesOf(bytes, grid);
  const photo = decoded.then((into) =>
    into ? fromTiles(bytes, name, grid, into) : unusual(bytes, name, maxPixels),
  );
  return { photo, help };
}

async function unusual(bytes: Uint8Array, name: string, maxPixels: number): Promise<HeicAsRead> {
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

function fromTiles(bytes: Uint8Array, name: string, grid: HeifGrid, data: Uint8Array): HeicAsRead {
  const [width_px, height_px] = uprightSize(grid);
  return withProfile(bytes, name, { width_px, height_px, data });
}

interface OpenedTiles {
  /** The picture, upright; undefined where it is of an unusual kind or broken: libheif then reads it, or says why not. */
  readonly decoded: Promise<Uint8Array | undefined>;
  readonly help: () => void;
}

function tilesOf(bytes: Uint8Array, grid: HeifGrid): OpenedTiles {
  const codecs = nativeCodecs();
  if (!codecs) return tilesByOwnDecoder(bytes, grid);
  // the thread that searches reads the pixels where they are
  const into = roomFor(grid, shared);
  const decoded = decodeByStandard(codecs, newPlanes(), bytes, grid, into).then(
    () => into,
    // ours looks closer, and knows what to say
    () => tilesByOwnDecoder(bytes, grid).decoded,
  );
  return { decoded, help: () => {} };
}

const shared = (size: number): Uint8Array => new Uint8Array(new SharedArrayBuffer(size));

function roomFor({ width_px, height_px }: HeifGrid, bytesOf: (size: number) => Uint8Array): Uint8Array {
  return bytesOf(3 * width_px * height_px);
}

function tilesByOwnDecoder(bytes: Uint8Array, grid: HeifGrid): OpenedTiles {
  const pixels = grid.width_px * grid.height_px;
  const count = Math.min(MOST_THREADS, Math.max(1, availableParallelism()), grid.tiles.length);
  if (count > 1 && pixels > WORTH_THREADS) return tilesByThreads(bytes, grid, count - 1);
  const into = roomFor(grid, (size) => new Uint8Array(size));
  const next = new Int32Array(1);
  const isDecoded = decodesUntaken({ bytes, grid, into, next });
  return { decoded: Promise.resolve(isDecoded ? into : undefined), help: () => {} };
}

/** Decodes what nobody has taken; false when that fails. */
function decodesUntaken({ bytes, grid, into, next }: TilesAsked): boolean {
  try {
    decodeTiles(newHevc(), bytes, grid, untakenTiles(next, grid), into);
    return true;
  } catch {
    return false;
  }
}

function tilesByThreads(bytes: Uint8Array, grid: HeifGrid, count: number): OpenedTiles {
  const sharedBytes = shared(bytes.length);
  sharedBytes.set(bytes);
  const into = roomFor(grid, shared);
  const next = new Int32Array(new SharedArrayBuffer(4));
  const asked: TilesAsked = { bytes: sharedBytes, grid, into, next };
  const threads = Array.from({ length: count }, () => threadDone(asked));
  let isSound = true;
  return {
    decoded: Promise.all(threads).then((done) => (isSound && done.every(Boolean) ? into : undefined)),
    help: () => {
      if (next[0] < grid.tiles.length) isSound = decodesUntaken(asked) && isSound;
    },
  };
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
