import type { PointMm } from '../../photo/types.ts';
import type { CardDefinition } from '../types.ts';
import { filled, movedTo, roundedOutline, type Strokes, type Typefaces, textLine, textWidth } from './pen.ts';

/** A small drawing of the card with the name of every patch, for who reads the patches with an instrument. */
export function patchMap(
  card: CardDefinition,
  at_mm: PointMm,
  [width_mm, height_mm]: readonly [number, number],
  faces: Typefaces,
): Strokes {
  const caption_mm = 6;
  const scale = Math.min(width_mm / card.size_mm[0], (height_mm - caption_mm) / card.size_mm[1]);
  const scaled = ([x, y, w, h]: readonly [number, number, number, number]) =>
    [x * scale, y * scale, w * scale, h * scale] as const;
  const [w, h] = [card.size_mm[0] * scale, card.size_mm[1] * scale];
  return [
    ...textLine('Names of the patches', [at_mm[0], at_mm[1] + 2], { face: faces.bold, cap_mm: 2.1 }),
    ...movedTo(
      [at_mm[0], at_mm[1] + caption_mm - 1],
      [
        ...roundedOutline([0, 0, w, h], 0.8, 0.15, 0.4),
        ...card.markers.flatMap((marker) =>
          filled([marker.corners_mm.map(([x, y]): PointMm => [x * scale, y * scale])], 0.75),
        ),
        ...card.patches.flatMap((patch) => mapCell(patch.id, scaled(patch.rect_mm), faces)),
      ],
    ),
  ];
}

function mapCell(id: string, rect: readonly [number, number, number, number], faces: Typefaces): Strokes {
  const [x, y, w, h] = rect;
  const at = { face: faces.plain, cap_mm: 1 };
  const cap_mm = Math.min(1.5, (0.85 * w) / textWidth(id, at), 0.6 * h);
  return [
    ...roundedOutline(rect, 0.25, 0.1, 0.55),
    ...textLine(id, [x + w / 2, y + (h + cap_mm) / 2], { ...at, cap_mm, align: 'middle' }),
  ];
}
