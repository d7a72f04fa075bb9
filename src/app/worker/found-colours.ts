import { measuredPhoto, type ReadPhoto, readPlace } from '../../core/measure/index.ts';
import type { PlacedPanel } from '../../core/panel/index.ts';
import type { Raster } from '../../core/photo/types.ts';
import type { FoundPanels } from './protocol.ts';

/** Outlines found in a photo with their colours, as far as they can be read: they tell which is which. */
export function foundColours(
  raster: Raster,
  { card }: ReadPhoto,
  found: readonly PlacedPanel[],
): FoundPanels['panels'] {
  const read = found.flatMap((place) => {
    const { sampled } = readPlace(raster, place, card);
    return sampled ? [{ place, sampled }] : [];
  });
  const measured = measuredPhoto(
    card,
    read.map((r) => r.place),
    read.map((r) => r.sampled),
  );
  const labs = new Map(measured.panels.map(({ id, lab }) => [id, lab]));
  return found.map(({ id, corners_px }) => ({ id, corners_px, lab: labs.get(id) }));
}
