/** The search for panels beside cards that have been found: in a small copy of the photo first, then in the photo itself. */
import type { CardOutline, CardPlace } from '../card/types.ts';
import type { Raster } from '../photo/types.ts';
import type { PlacedPanel } from './check.ts';
import { enlargedPanels, type FoundPanel, findPanels } from './find/index.ts';
import { outlinePanels, type PanelMaps } from './outline/index.ts';
import { isPlainBench } from './plain-bench.ts';

/** About where the panels lie. */
export interface PanelsAtFirst {
  /** Places in the small copy, `factor` times smaller than in the photo. */
  readonly panels: readonly FoundPanel[];
  readonly factor: number;
  /** True when the panels found lie alone and even on a plain bench: the plain finder needs no help. */
  readonly isPlain: boolean;
}

/** What the plain finder sees in a copy `factor` times smaller. `cards` are places in the copy. */
export function lookForPanels(copy: Raster, factor: number, cards: readonly CardOutline[]): PanelsAtFirst {
  const panels = findPanels(copy, cards);
  const corners = (places: readonly CardOutline[]) => places.map(({ corners_px }) => corners_px);
  return { panels, factor, isPlain: isPlainBench(copy, corners(cards), corners(panels)) };
}

/**
 * The panels of a photo, by the plain finder and, where its maps are given, the network together.
 *
 * @param first what a small copy has shown, to save the plain finder's search in the photo
 */
export function panelsBeside(
  raster: Raster,
  cards: readonly CardPlace[],
  maps?: PanelMaps,
  first?: PanelsAtFirst,
): readonly PlacedPanel[] {
  const plain = first ? enlargedPanels(raster, first.panels, first.factor) : findPanels(raster, cards);
  return maps ? outlinePanels(raster, cards, maps, plain) : plain;
}
