/** The thread that searches photos for panels, one photo after the other, while the card is being read. */
import { parentPort } from 'node:worker_threads';
import { planeThrough } from '../core/card/place.ts';
import { type PanelMaps, pictureForFinder } from '../core/panel/outline/maps.ts';
import { lookForPanels, type PanelsAtFirst, panelsBeside } from '../core/panel/search.ts';
import type { Raster } from '../core/photo/types.ts';
import { loadFinder } from './finder.ts';
import type { Asked, FoundBeside } from './search-beside.ts';

/** Begun with the first photo, of which a copy may be there before: what starts earlier takes the decoder's time. */
let loading: ReturnType<typeof loadFinder> | undefined;

/** What is known of the photo at hand. */
let copy: Raster | undefined;
let maps: Promise<PanelMaps | undefined> | undefined;
let first: PanelsAtFirst | undefined;
/** The answer before: answers keep the order of the photos. */
let before: Promise<void> = Promise.resolve();

async function mapsOf(raster: Raster): Promise<PanelMaps | undefined> {
  const segment = await loading;
  return segment?.(pictureForFinder(raster)).catch(() => undefined);
}

async function find(
  { raster, cards }: Extract<Asked, { step: 'photo' }>,
  seen: typeof maps,
  look: typeof first,
): Promise<FoundBeside> {
  const places = cards.map(({ size_mm, corners_px }) => planeThrough(size_mm, corners_px));
  // on a plain bench the plain finder finds what there is
  const used = look?.isPlain ? undefined : await (seen ?? mapsOf(raster));
  const isNetworkMissing = !used && !look?.isPlain;
  return { panels: panelsBeside(raster, places, used, look), maps: used, isNetworkMissing };
}

parentPort?.on('message', (asked: Asked) => {
  if (asked.step === 'begin') {
    loading ??= loadFinder();
    copy = asked.copy;
    maps = copy && mapsOf(copy);
    first = undefined;
  } else if (asked.step === 'cards') {
    first = copy && lookForPanels(copy, asked.factor, asked.cards);
  } else {
    const found = find(asked, maps, first);
    before = before.then(async () => parentPort?.postMessage(await found));
  }
});
