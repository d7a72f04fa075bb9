/** The thread beside the command line in which the panel finder's network works: photos in, maps out. */
import { parentPort } from 'node:worker_threads';
import { pictureForFinder } from '../core/panel/outline/maps.ts';
import type { Raster } from '../core/photo/types.ts';
import { loadFinder } from './finder.ts';

const loading = loadFinder();

parentPort?.on('message', async (raster: Raster) => {
  const segment = await loading;
  const maps = await segment?.(pictureForFinder(raster));
  parentPort?.postMessage(maps);
});
