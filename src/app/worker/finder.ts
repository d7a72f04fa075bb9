/** Finding panels in the worker: by the trained network and the plain finder together. */
import type { PlacedCard } from '../../core/card/types.ts';
import { findPanels } from '../../core/panel/index.ts';
import { outlinePanels, type PanelMaps, pictureForFinder } from '../../core/panel/outline/index.ts';
import { FINDER_MISSING } from '../../core/panel/outline/missing.ts';
import type { Raster } from '../../core/photo/types.ts';
import { finderBeside } from './finder-beside.ts';
import type { FoundPanels } from './protocol.ts';

/** Panels found by the network and the plain finder together; by the plain one alone, and saying so, where it must. */
export async function panelsIn(raster: Raster, cards: readonly PlacedCard[]): Promise<FoundPanels> {
  // the network works in a worker of its own meanwhile
  const asked = panelMaps(raster);
  const plain = findPanels(raster, cards);
  const maps = await asked;
  const panels = maps ? outlinePanels(raster, cards, maps, plain) : plain;
  return {
    panels: panels.map(({ id, corners_px }) => ({ id, corners_px })),
    warnings: maps ? [] : [FINDER_MISSING],
  };
}

/**
 * The network's maps of a photo. Undefined when the runtime or the network can't be loaded (an old browser, a file
 * that is missing): panels are then found without it.
 */
async function panelMaps(raster: Raster): Promise<PanelMaps | undefined> {
  const picture = pictureForFinder(raster);
  const segment = await finderBeside();
  return segment?.(picture).catch(() => undefined);
}
