/** Finding panels in the worker: by the trained network, which works in a worker of its own. */
import type { PlacedCard } from '../../core/card/types.ts';
import { type PanelMaps, pictureForFinder } from '../../core/panel/outline/index.ts';
import { FINDER_MISSING } from '../../core/panel/outline/missing.ts';
import { panelsBeside } from '../../core/panel/search.ts';
import type { Raster } from '../../core/photo/types.ts';
import { finderBeside } from './finder-beside.ts';
import type { FoundPanels } from './protocol.ts';

/** Panels found by the network; by the plain finder, and saying so, where it must. */
export async function panelsIn(raster: Raster, cards: readonly PlacedCard[]): Promise<FoundPanels> {
  const maps = await panelMaps(raster);
  const panels = panelsBeside(raster, cards, maps);
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
