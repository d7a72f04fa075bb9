import type { Rounding } from './types.ts';

/**
 * Where a pixel of the upright picture stands in the stored one of `width_px` × `height_px`, by EXIF orientation 1–8
 * (CIPA DC-008, 4.6.4): column = m₀ x + m₁ y + m₂, row = m₃ x + m₄ y + m₅.
 */
export function storedPlaces(width_px: number, height_px: number, orientation: number): Rounding['toStored'] {
  const right = width_px - 1;
  const bottom = height_px - 1;
  switch (orientation) {
    case 2:
      return [-1, 0, right, 0, 1, 0];
    case 3:
      return [-1, 0, right, 0, -1, bottom];
    case 4:
      return [1, 0, 0, 0, -1, bottom];
    case 5:
      return [0, 1, 0, 1, 0, 0];
    case 6:
      return [0, 1, 0, -1, 0, bottom];
    case 7:
      return [0, -1, right, -1, 0, bottom];
    case 8:
      return [0, -1, right, 1, 0, 0];
    default:
      return [1, 0, 0, 0, 1, 0];
  }
}
