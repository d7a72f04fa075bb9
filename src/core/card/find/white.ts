import { SprayoutError } from '../../errors.ts';
import type { PointMm, Raster } from '../../photo/types.ts';
import type { PlacedCard } from '../types.ts';
import { readableMarkers } from './agree.ts';

/** Encoded values from here on are clipped, as a part of full scale. */
const CLIPPED = 254 / 255;
/** Part of the card's white that may be clipped in two channels or more. */
const MOST_CLIPPED = 0.6;

/** Refuses a card whose white paper, around the tags, is overexposed: nothing bright on it could be measured. */
export function refuseClipped(raster: Raster, card: PlacedCard): void {
  let count = 0;
  let clipped = 0;
  for (const place of quietPlaces(card)) {
    const [x, y] = card.toPx(place);
    const column = Math.floor(x);
    const row = Math.floor(y);
    if (column < 0 || row < 0 || column >= raster.width_px || row >= raster.height_px) continue;
    count++;
    if (channelsClipped(raster, 3 * (row * raster.width_px + column)) >= 2) clipped++;
  }
  if (count > 0 && clipped > MOST_CLIPPED * count)
    throw new SprayoutError(
      'card-clipped',
      `The white of the card "${card.definition.name}" is overexposed.`,
      'Take the photo darker: tap on the white of the card before you shoot, or lower the exposure by a stop.',
    );
}

function channelsClipped({ data, bits }: Raster, index: number): number {
  const limit = CLIPPED * (2 ** bits - 1);
  let channels = 0;
  for (let c = 0; c < 3; c++) if (data[index + c] >= limit) channels++;
  return channels;
}

/** Places in the quiet zone of every tag, half a cell outside its border. */
function quietPlaces(card: PlacedCard): PointMm[] {
  const places: PointMm[] = [];
  for (const { corners_mm } of readableMarkers(card.definition))
    for (let side = 0; side < 4; side++) {
      const [ax, ay] = corners_mm[side];
      const [bx, by] = corners_mm[(side + 1) % 4];
      // outward normal of (dx, dy) for corners that run clockwise on the screen, half a cell long
      const nx = (by - ay) / 16;
      const ny = -(bx - ax) / 16;
      for (let i = 1; i < 16; i++) {
        const t = i / 16;
        places.push([ax + (bx - ax) * t + nx, ay + (by - ay) * t + ny]);
      }
    }
  return places;
}
