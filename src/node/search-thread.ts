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
/** The photo at hand, and what the network sees in it. */
let photo: { readonly raster: Raster; readonly maps: Promise<PanelMaps | undefined> } | undefined;
/** The answer before: answers keep the order of the photos. */
let before: Promise<void> = Promise.resolve();

async function mapsOf(raster: Raster): Promise<PanelMaps | undefined> {
  const segment = await loading;
  return segment?.(pictureForFinder(raster)).catch(() => undefined);
}

parentPort?.on('message', (asked: Asked) => {
  if (asked.step === 'photo') photo = { raster: asked.raster, maps: mapsOf(asked.raster) };
  else {
    const answer = asked.step === 'rest' ? atRest() : photo && find(photo, asked.cards);
    before = before.then(async () => parentPort?.postMessage(await answer));
  }
});

async function find({ raster, maps }: NonNullable<typeof photo>, cards: CardsAsked): Promise<FoundBeside> {
  const places = cards.map(({ size_mm, corners_px }) => planeThrough(size_mm, corners_px));
  const used = await maps;
  return { panels: panelsBeside(raster, places, used), maps: used };
}

async function atRest(): Promise<void> {
  await loading;
  await photo?.maps;
}

type CardsAsked = Extract<Asked, { step: 'cards' }>['cards'];
