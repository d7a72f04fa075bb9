import type { PointMm, PointPx, QuadPx } from '../../photo/types.ts';
import type { CardDefinition } from '../types.ts';

/** Corners of a card's `size_mm` rectangle in the photo. */
export function cornersOnPhoto(definition: CardDefinition, toPx: (mm: PointMm) => PointPx): QuadPx {
  const [w, h] = definition.size_mm;
  return [toPx([0, 0]), toPx([w, 0]), toPx([w, h]), toPx([0, h])];
}
