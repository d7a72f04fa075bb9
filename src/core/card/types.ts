import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { PointMm, PointPx, QuadPx } from '../photo/types.ts';

export type { CardDefinition, CardMarker, CardPatch } from '../../../shared/schemas/card.ts';

/** Where a card lies in a photo. */
export interface PlacedCard {
  readonly definition: CardDefinition;
  readonly found_by: 'markers' | 'corners';
  /** Corners of the card's `size_mm` rectangle. */
  readonly corners_px: QuadPx;
  readonly toPx: (mm: PointMm) => PointPx;
  readonly toMm: (px: PointPx) => PointMm;
  /** Root-mean-square distance of the marker corners from the placing, px; 0 for hand-placed corners. */
  readonly residual_px: number;
}
