import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { PointMm, PointPx, QuadPx } from '../photo/types.ts';

export type { CardDefinition, CardMarker, CardPatch } from '../../../shared/schemas/card.ts';

/** Where a card's plane lies in a photo. */
export interface CardPlace {
  /** Corners of the card's `size_mm` rectangle. */
  readonly corners_px: QuadPx;
  readonly toPx: (mm: PointMm) => PointPx;
  readonly toMm: (px: PointPx) => PointMm;
}

/** As much of a place as tells what lies on the card. */
export type CardOutline = Pick<CardPlace, 'corners_px'>;

/** Where a card lies in a photo. */
export interface PlacedCard extends CardPlace {
  readonly definition: CardDefinition;
  readonly found_by: 'markers' | 'corners';
  /** Root-mean-square distance of the marker corners from the placing, px; 0 for hand-placed corners. */
  readonly residual_px: number;
}
