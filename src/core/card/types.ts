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
  /** How it bends out of its plane; undefined where it lies flat, or nothing tells. */
  readonly curl?: Curl;
}

/** How a card bends out of its plane: mm away from the camera = xx·x² + xy·x·y + yy·y², mm about the card's middle. */
export interface Curl {
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}
