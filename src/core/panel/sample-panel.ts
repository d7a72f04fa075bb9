import { sampleQuadInCells } from '../photo/sample.ts';
import type { Spoilt } from '../photo/sample-spots.ts';
import type { QuadPx, Raster, Reading } from '../photo/types.ts';

/** Share of a panel trimmed on every side: edges are where paint runs thin or builds up. */
export const PANEL_MARGIN = 0.12;

/** Pixels visited: enough for sixteen cells of some 300 each. */
const PANEL_PIXELS = 6000;

/** A panel as read in the photo: its middle as a whole, and up to 4 × 4 cells of it, which tell how even it is. */
export interface SampledPanel {
  readonly reading: Reading;
  readonly cells: readonly Reading[];
}

/** Reads a panel's middle; the rule for glare, dust and clipped pixels is `sampleQuad`'s, with what is spoilt besides. */
export function samplePanel(raster: Raster, corners_px: QuadPx, spoilt?: Spoilt): SampledPanel {
  return sampleQuadInCells(raster, corners_px, { margin: PANEL_MARGIN, maxPixels: PANEL_PIXELS, spoilt });
}
