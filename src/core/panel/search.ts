/** The search for panels beside cards that have been found. */
import type { CardPlace } from '../card/types.ts';
import type { Raster } from '../photo/types.ts';
import type { PlacedPanel } from './check.ts';
import { findPanels } from './find/index.ts';
import { outlinePanels, type PanelMaps } from './outline/index.ts';

/** The panels of a photo: by what the network saw in it, by the plain finder where there is no network. */
export function panelsBeside(
  raster: Raster,
  cards: readonly CardPlace[],
  maps: PanelMaps | undefined,
): readonly PlacedPanel[] {
  return maps ? outlinePanels(raster, cards, maps) : findPanels(raster, cards);
}
