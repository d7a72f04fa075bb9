import type { PointMm } from '../../photo/types.ts';
import { fitted, lines, roundedOutline, type Strokes, type Typefaces, textLine } from './pen.ts';
import { rule } from './rule.ts';
import { COLUMN_MM } from './sheet.ts';

/** Length of the check rule. */
export const CHECK_RULE_MM = 100;

/** Marks at the corners of a card to cut along, clear of the card, and a faint line between them. */
export function cutMarks([x, y]: PointMm, [w, h]: readonly [number, number]): Strokes {
  const gap = 1;
  const length = 2.5;
  const ends = [x, x + w].flatMap((cx, i) =>
    [y, y + h].flatMap((cy, j): [PointMm, PointMm][] => {
      const outX = i === 0 ? -1 : 1;
      const outY = j === 0 ? -1 : 1;
      return [
        [
          [cx + outX * gap, cy],
          [cx + outX * (gap + length), cy],
        ],
        [
          [cx, cy + outY * gap],
          [cx, cy + outY * (gap + length)],
        ],
      ];
    }),
  );
  return [...roundedOutline([x, y, w, h], 0, 0.08, 0.8), ...lines(ends, 0.12)];
}

/** Title and check rule of a sheet, in a column from `x_mm`. */
export function sheetHeader(title: string, x_mm: number, faces: Typefaces): Strokes {
  const right = x_mm + COLUMN_MM;
  const note = { face: faces.plain, cap_mm: 1.9, grey: 0.25 };
  const rule_y = 28;
  return [
    ...textLine(title, [x_mm, 15.5], fitted(title, COLUMN_MM - 54, { face: faces.bold, cap_mm: 3.8 })),
    ...textLine('Print at 100 % (actual size) on matt paper', [right, 15.5], { ...note, align: 'end' }),
    ...lines(
      [
        [
          [x_mm, 18],
          [right, 18],
        ],
      ],
      0.2,
    ),
    ...rule([x_mm, rule_y], CHECK_RULE_MM, faces.plain, 1.15),
    ...textLine('Lay a ruler here: 100 mm?', [x_mm + CHECK_RULE_MM + 5, rule_y - 3.4], {
      ...note,
      face: faces.bold,
      grey: 0,
    }),
    ...textLine('If not, print again at 100 %.', [x_mm + CHECK_RULE_MM + 5, rule_y], note),
  ];
}
