/** The thread in which the panel finder's network works: photos in, maps out, in the order of the photos. */
import { parentPort } from 'node:worker_threads';
import { type PanelMaps, pictureForFinder } from '../core/panel/outline/maps.ts';
import type { Raster } from '../core/photo/types.ts';
import { loadFinder } from './finder.ts';

const loading = loadFinder();
let before: Promise<unknown> = loading;

async function mapsOf(raster: Raster): Promise<PanelMaps | undefined> {
  const segment = await loading;
  return segment?.(pictureForFinder(raster));
}

parentPort?.on('message', (raster: Raster) => {
  before = before.then(async () => parentPort?.postMessage(await mapsOf(raster)));
});
