/** A thread that decodes some tiles of a HEIC photo into memory it shares with the others. */
import { parentPort, workerData } from 'node:worker_threads';
import type { HeifGrid } from '../core/photo/heif/grid.ts';
import { decodeTiles, untakenTiles } from '../core/photo/heif/tiles.ts';
import { newHevc } from './hevc.ts';

/** What the thread is started with. */
export interface TilesAsked {
  readonly bytes: Uint8Array;
  readonly grid: HeifGrid;
  readonly into: Uint8Array;
  /** Number of the next tile that nobody has taken. */
  readonly next: Int32Array;
}

const { bytes, grid, into, next } = workerData as TilesAsked;
decodeTiles(newHevc(), bytes, grid, untakenTiles(next, grid), into);
parentPort?.postMessage('done');
