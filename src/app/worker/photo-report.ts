import { patchQuads } from '../../core/card/place.ts';
import { measuredPhoto } from '../../core/measure/index.ts';
import { problemOf } from '../../core/study/index.ts';
import type { ShelvedRead } from './photo-shelf.ts';
import type { PhotoReport } from './protocol.ts';

/** What a screen shows of a photo that has been read. */
export function photoReport({ read, warnings }: ShelvedRead): PhotoReport {
  const panels = read.places.filter((p) => p.sampled !== undefined);
  const leftOut = new Set(read.card.correction.check.patches_left_out);
  const off = new Map(read.card.correction.patchErrors.map(({ id, de00 }) => [id, de00]));
  return {
    size_px: read.size_px,
    measured: measuredPhoto(
      read.card,
      panels.map(({ id, corners_px }) => ({ id, corners_px })),
      panels.flatMap((p) => (p.sampled ? [p.sampled] : [])),
    ),
    patches: read.card.placed
      .flatMap(patchQuads)
      .map((patch) => ({ ...patch, leftOut: leftOut.has(patch.id), off_de00: off.get(patch.id) })),
    refused: read.places.flatMap(({ id, refused }) => (refused ? [{ id, problem: problemOf(refused) }] : [])),
    warnings,
  };
}
