/** A thread that decodes some tiles of a HEIC photo into memory it shares with the others. */
import { createRequire } from 'node:module';
import { parentPort, workerData } from 'node:worker_threads';
import type { HeifGrid } from '../core/photo/heif/grid.ts';
import { decodeTiles, type HeifParts } from '../core/photo/heif/tiles.ts';

/** What the thread is started with. */
export interface TilesAsked {
  readonly bytes: Uint8Array;
  readonly grid: HeifGrid;
  readonly into: Uint8Array;
  /** Number of the next tile that nobody has taken. */
  readonly next: Int32Array;
}

const { bytes, grid, into, next } = workerData as TilesAsked;
// the decoder logs what it cannot read; stdout belongs to the answer
console.log = () => {};
const heif = createRequire(import.meta.url)('libheif-js/wasm-bundle') as HeifParts;
decodeTiles(heif, bytes, grid, untaken(), into);
parentPort?.postMessage('done');

/** Tiles that no other thread has taken: some take longer than others. */
function* untaken(): Generator<number> {
  for (;;) {
    const place = Atomics.add(next, 0, 1);
    if (place >= grid.tiles.length) return;
    yield place;
  }
}
