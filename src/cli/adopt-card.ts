import { basename } from 'node:path';
import { adoptCard } from '../core/card/adopt.ts';
import { findCards } from '../core/card/find/index.ts';
import { OWN_CARD } from '../core/card/own.ts';
import { patchQuads } from '../core/card/place.ts';
import type { CardDefinition } from '../core/card/types.ts';
import { SprayoutError } from '../core/errors.ts';
import { type MeasuredPhoto, measurePhoto } from '../core/measure/index.ts';
import type { QuadPx } from '../core/photo/types.ts';
import { readPhoto } from '../node/read-photo.ts';

export interface AdoptedCard {
  readonly card: CardDefinition;
  /** How the chart itself was read. */
  readonly check: MeasuredPhoto['card']['check'];
  readonly warnings: MeasuredPhoto['warnings'];
}

/**
 * The project's own card as a photo shows it beside a chart whose colours are known. The card is found by its
 * markers, the chart by its own or by `corners_px`. Throws what reading, finding and measuring throw.
 */
export async function adoptFromPhoto(
  photoPath: string,
  chart: CardDefinition,
  corners_px: QuadPx | undefined,
): Promise<AdoptedCard> {
  const ownIds = new Set(OWN_CARD.markers.map((m) => m.id));
  if (chart.markers.some((m) => ownIds.has(m.id)))
    throw new SprayoutError(
      'usage',
      `${chart.name} carries the same markers as the card that is to be adopted.`,
      'Adopt beside another chart, one whose colours are known.',
    );
  if (chart.markers.length === 0 && corners_px === undefined)
    throw new SprayoutError(
      'usage',
      `${chart.name} has no markers to find it by.`,
      'Say where it lies: --card-corners "x,y x,y x,y x,y".',
    );
  const { raster, warnings } = await readPhoto(photoPath);
  const [own] = findCards(raster, [OWN_CARD]);
  const measured = measurePhoto(raster, {
    card: chart,
    ...(corners_px && { corners_px }),
    panels: {
      format: 'sprayout-panels/1',
      panels: patchQuads(own).map(({ id, corners_px: [a, b, c, d] }) => ({
        id,
        corners_px: [[...a], [...b], [...c], [...d]],
      })),
    },
  });
  return {
    card: adoptCard(OWN_CARD, measured.colours, basename(photoPath)),
    check: measured.card.check,
    warnings: [...warnings, ...measured.warnings],
  };
}
