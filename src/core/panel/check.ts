import { patchQuads } from '../card/place.ts';
import type { PlacedCard } from '../card/types.ts';
import { SprayoutError } from '../errors.ts';
import { isConvexQuad, quadArea, quadInsidePhoto, sharedArea, shortestSide } from '../photo/polygon.ts';
import type { QuadPx, Raster } from '../photo/types.ts';
import { PANEL_MARGIN } from './sample-panel.ts';

/** A panel's place in a photo. */
export interface PlacedPanel {
  readonly id: string;
  readonly corners_px: QuadPx;
}

/** Shortest side that leaves a middle worth reading, px. */
const SHORTEST_SIDE_PX = 8;
/** Share of a panel's middle that may lie on the card: rough corners, not a wrong place. */
const ON_CARD = 0.02;

/**
 * Refuses panels that can't be read: `panels-invalid` (corners that make no convex quadrilateral, or a tiny one),
 * `panel-outside-photo`, `panel-on-card`.
 */
export function checkPanels(
  panels: readonly PlacedPanel[],
  photo: Pick<Raster, 'width_px' | 'height_px'>,
  cards: readonly PlacedCard[],
): void {
  for (const { id, corners_px } of panels) {
    checkShape(id, corners_px);
    if (!quadInsidePhoto(photo, corners_px))
      throw new SprayoutError(
        'panel-outside-photo',
        `Panel ${id} reaches outside the photo (${photo.width_px} × ${photo.height_px} px): ${places(corners_px)}.`,
        'Give corners in pixels of the photo as it is shown upright, and keep the whole panel in frame.',
      );
    const middle = quadArea(corners_px) * (1 - 2 * PANEL_MARGIN) ** 2;
    for (const card of cards)
      if (takenBy(card).some((q) => isConvexQuad(q) && sharedArea(corners_px, q) > ON_CARD * middle))
        throw new SprayoutError(
          'panel-on-card',
          `Panel ${id} lies on the card ${card.definition.name}.`,
          'Lay panels beside the card, or correct the corners.',
        );
  }
}

/**
 * What a card takes up: all of a printed card with markers; of a chart placed by hand only its patches, since some of
 * its fields may be measured as panels.
 */
function takenBy(card: PlacedCard): readonly QuadPx[] {
  if (card.definition.markers.length > 0) return [card.corners_px];
  return patchQuads(card).map((q) => q.corners_px);
}

function checkShape(id: string, corners_px: QuadPx): void {
  if (!corners_px.every((p) => p.every(Number.isFinite)) || !isConvexQuad(corners_px))
    throw new SprayoutError(
      'panels-invalid',
      `The corners of panel ${id} make no convex quadrilateral: ${places(corners_px)}.`,
      "List the panel's corners in order: top left, top right, bottom right, bottom left.",
    );
  if (shortestSide(corners_px) < SHORTEST_SIDE_PX)
    throw new SprayoutError(
      'panels-invalid',
      `Panel ${id} is too small to read: its shortest side is ${shortestSide(corners_px).toFixed(1)} px.`,
      `A side needs ${SHORTEST_SIDE_PX} px at least; some 100 px and more give a good reading.`,
    );
}

function places(corners_px: QuadPx): string {
  return corners_px.map(([x, y]) => `${+x.toFixed(1)},${+y.toFixed(1)}`).join(' ');
}
