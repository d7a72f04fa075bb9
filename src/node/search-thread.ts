/** The thread that searches photos for panels, one photo after the other. */
import { parentPort } from 'node:worker_threads';
import { planeThrough } from '../core/card/place.ts';
import type { PanelMaps } from '../core/panel/outline/maps.ts';
import { pictureForFinder } from '../core/panel/outline/picture.ts';
import { panelsBeside } from '../core/panel/search.ts';
import type { Raster } from '../core/photo/types.ts';
import { loadFinder } from './finder.ts';
import type { Asked, FoundBeside } from './search-beside.ts';

/** Begun at once: while the decoder is being loaded, there is a core for it. */
const loading = loadFinder();
/** What the network sees in the photo at hand, where there is a copy of it. */
let maps: Promise<PanelMaps | undefined> | undefined;
/** The answer before: answers keep the order of the photos. */
let before: Promise<void> = Promise.resolve();

async function mapsOf(raster: Raster): Promise<PanelMaps | undefined> {
  const segment = await loading;
  return segment?.(pictureForFinder(raster)).catch(() => undefined);
}

async function find(
  { raster, cards }: Extract<Asked, { step: 'photo' }>,
  seen = mapsOf(raster),
): Promise<FoundBeside> {
  const places = cards.map(({ size_mm, corners_px }) => planeThrough(size_mm, corners_px));
  const used = await seen;
  return { panels: panelsBeside(raster, places, used), maps: used };
}

parentPort?.on('message', (asked: Asked) => {
  if (asked.step === 'begin') {
    maps = asked.copy && mapsOf(asked.copy);
  } else {
    const found = find(asked, maps);
    before = before.then(async () => parentPort?.postMessage(await found));
  }
});
