import type { PointMm } from '../../photo/types.ts';
import { lines, type Strokes, type Typeface, textLine } from './pen.ts';

/**
 * A millimetre rule that runs right from `from_mm`, ticks upward, numbered every 10 mm. At size 1 the ticks are 1,
 * 1.6 and 2.4 mm long.
 */
export function rule([x0, y]: PointMm, length_mm: number, face: Typeface, size: number): Strokes {
  const ticks = Array.from({ length: Math.floor(length_mm) + 1 }, (_, mm) => mm);
  const height = (mm: number): number => size * (mm % 10 === 0 ? 2.4 : mm % 5 === 0 ? 1.6 : 1);
  const tens = ticks.filter((mm) => mm % 10 === 0);
  return [
    ...lines(
      [
        [
          [x0, y],
          [x0 + length_mm, y],
        ],
        ...ticks.map((mm): [PointMm, PointMm] => [
          [x0 + mm, y],
          [x0 + mm, y - height(mm)],
        ]),
      ],
      0.12,
    ),
    ...tens.flatMap((mm) =>
      textLine(String(mm), [x0 + mm, y - height(mm) - 0.6 * size], {
        face,
        cap_mm: 1.4 * size,
        align: 'middle',
      }),
    ),
  ];
}
