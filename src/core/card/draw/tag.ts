import { SprayoutError } from '../../errors.ts';
import type { PolygonMm } from '../overlap.ts';
import type { CardMarker } from '../types.ts';
import { filled, type Strokes } from './pen.ts';
import { tagCells } from './tag-cells.ts';

/** Runs of black cells of one row: from column `start` up to, not including, `end`. */
function blackRuns(row: readonly boolean[]): readonly { readonly start: number; readonly end: number }[] {
  const runs: { start: number; end: number }[] = [];
  row.forEach((isBlack, i) => {
    const last = runs.at(-1);
    if (!isBlack) return;
    if (last?.end === i) last.end = i + 1;
    else runs.push({ start: i, end: i + 1 });
  });
  return runs;
}

/** A tag as printed: black cells between the corners of its black border. */
export function drawMarker(marker: CardMarker): Strokes {
  if (marker.family !== '36h11')
    throw new SprayoutError(
      'card-invalid',
      `Marker ${marker.id} is of the family ${JSON.stringify(marker.family)}, which can't be drawn.`,
      'Use tags of the family "36h11", or a card file without markers.',
    );
  const cells = tagCells(marker.id);
  const [origin, right, , below] = marker.corners_mm;
  const at = (column: number, row: number): readonly [number, number] => [
    origin[0] + ((right[0] - origin[0]) * column + (below[0] - origin[0]) * row) / cells.length,
    origin[1] + ((right[1] - origin[1]) * column + (below[1] - origin[1]) * row) / cells.length,
  ];
  const black = cells.flatMap((row, y) =>
    blackRuns(row).map(
      ({ start, end }): PolygonMm => [at(start, y), at(end, y), at(end, y + 1), at(start, y + 1)],
    ),
  );
  return filled(black, 0);
}
