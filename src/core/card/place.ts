import { SprayoutError } from '../errors.ts';
import { invert3 } from '../math/linear.ts';
import type { PointPx, QuadPx } from '../photo/types.ts';
import { applyHomography, fitHomography } from './homography.ts';
import { rectangle } from './overlap.ts';
import type { CardDefinition, CardPlace, PlacedCard } from './types.ts';

/** Least area of a card placed by hand, px²: its patches would hold next to nothing. */
const LEAST_AREA_PX2 = 2500;
/** Least sine of an angle at a corner. */
const LEAST_SINE = 0.1;

const ORDER_HINT =
  'Give the corners as top-left, top-right, bottom-right, bottom-left of the chart itself, "x,y x,y x,y x,y", in pixels of the upright photo.';

/**
 * Places any card by the corners of its `size_mm` rectangle (a plane seen by a camera; no lens bow).
 *
 * @param photo the photo's size, to refuse corners outside it
 * @throws SprayoutError `corners-invalid` when the corners cross over, nearly lie on a line, enclose too little, run
 *   the other way round (a mirrored chart), or lie outside the photo
 */
export function placeByCorners(
  definition: CardDefinition,
  corners_px: QuadPx,
  photo?: { readonly width_px: number; readonly height_px: number },
): PlacedCard {
  refuseCorners(corners_px, photo);
  return { definition, found_by: 'corners', ...planeThrough(definition.size_mm, corners_px), residual_px: 0 };
}

/** The plane on which a rectangle of `size_mm` has these corners. */
export function planeThrough([w, h]: CardDefinition['size_mm'], corners_px: QuadPx): CardPlace {
  const matrix = fitHomography([0, 0, w, 0, w, h, 0, h], corners_px.flat());
  const back = invert3(matrix);
  return {
    corners_px,
    toPx: ([x, y]) => applyHomography(matrix, x, y),
    toMm: ([x, y]) => applyHomography(back, x, y),
  };
}

/** The places of a card's patches in a photo, as panels to read. */
export function patchQuads(
  placed: PlacedCard,
): readonly { readonly id: string; readonly corners_px: QuadPx }[] {
  return placed.definition.patches.map(({ id, rect_mm }) => {
    const [a, b, c, d]: readonly PointPx[] = rectangle(rect_mm).map((corner) => placed.toPx(corner));
    return { id, corners_px: [a, b, c, d] };
  });
}

function refuseCorners(
  corners: QuadPx,
  photo?: { readonly width_px: number; readonly height_px: number },
): void {
  if (!corners.every(([x, y]) => Number.isFinite(x) && Number.isFinite(y)))
    throw invalid('one of the card corners is not a number', ORDER_HINT);
  const sines = corners.map((_, i) => sineAt(corners, i));
  if (sines.every((s) => s < -LEAST_SINE))
    throw invalid('the card corners run the wrong way round, as if the chart were mirrored', ORDER_HINT);
  if (!sines.every((s) => s > LEAST_SINE))
    throw invalid('the card corners cross over or lie on a line: they make no quadrilateral', ORDER_HINT);
  if (area(corners) < LEAST_AREA_PX2)
    throw invalid('the card corners enclose too few pixels to measure', 'Take the photo from closer by.');
  if (!photo) return;
  const outside = corners.find(([x, y]) => x < 0 || y < 0 || x > photo.width_px || y > photo.height_px);
  if (outside)
    throw invalid(
      `the card corner ${outside[0]},${outside[1]} lies outside the photo of ${photo.width_px} × ${photo.height_px} px`,
      'Corners are pixels of the photo as it is shown upright.',
    );
}

function invalid(what: string, hint: string): SprayoutError {
  return new SprayoutError('corners-invalid', `${what[0].toUpperCase()}${what.slice(1)}.`, hint);
}

/** Sine of the turn at a corner; positive where corners run clockwise on the screen. */
function sineAt(corners: QuadPx, i: number): number {
  const [a, b, c] = [corners[(i + 3) % 4], corners[i], corners[(i + 1) % 4]];
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const vx = c[0] - b[0];
  const vy = c[1] - b[1];
  return (ux * vy - uy * vx) / Math.max(1e-12, Math.hypot(ux, uy) * Math.hypot(vx, vy));
}

function area(corners: QuadPx): number {
  return Math.abs(
    corners.reduce((sum, [x, y], i) => {
      const [nx, ny] = corners[(i + 1) % 4];
      return sum + (x * ny - nx * y) / 2;
    }, 0),
  );
}
