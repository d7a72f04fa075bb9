import { describe, expect, it } from 'vitest';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { placeByCorners } from '../../src/core/card/place.ts';
import type { QuadPx } from '../../src/core/photo/index.ts';

const PHOTO = { width_px: 1200, height_px: 900 };
const GOOD: QuadPx = [
  [200, 150],
  [1000, 220],
  [960, 760],
  [180, 700],
];

describe('a chart placed by its corners', () => {
  it('has its corners where they were put, and its middle where the diagonals cross', () => {
    const card = placeByCorners(OWN_CARD, GOOD, PHOTO);
    const [w, h] = OWN_CARD.size_mm;
    expect(card.found_by).toBe('corners');
    expect(card.residual_px).toBe(0);
    for (const [i, mm] of (
      [
        [0, 0],
        [w, 0],
        [w, h],
        [0, h],
      ] as const
    ).entries()) {
      expect(card.toPx(mm)[0]).toBeCloseTo(GOOD[i][0], 6);
      expect(card.toPx(mm)[1]).toBeCloseTo(GOOD[i][1], 6);
      expect(card.toMm(GOOD[i])[0]).toBeCloseTo(mm[0], 6);
      expect(card.toMm(GOOD[i])[1]).toBeCloseTo(mm[1], 6);
    }
    const [x, y] = card.toPx([w / 2, h / 2]);
    const onDiagonal = (a: readonly number[], b: readonly number[]): number =>
      ((b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0])) / Math.hypot(b[0] - a[0], b[1] - a[1]);
    expect(onDiagonal(GOOD[0], GOOD[2])).toBeCloseTo(0, 6);
    expect(onDiagonal(GOOD[1], GOOD[3])).toBeCloseTo(0, 6);
  });

  it('may be turned by any quarter', () => {
    for (let turn = 0; turn < 4; turn++) {
      const turned = GOOD.map((_, i) => GOOD[(i + turn) % 4]) as unknown as QuadPx;
      expect(placeByCorners(OWN_CARD, turned, PHOTO).toPx([0, 0])[0]).toBeCloseTo(GOOD[turn][0], 6);
    }
  });

  it.each<[string, QuadPx]>([
    ['cross over', [GOOD[0], GOOD[2], GOOD[1], GOOD[3]]],
    ['run the other way round', [GOOD[1], GOOD[0], GOOD[3], GOOD[2]]],
    [
      'lie on a line',
      [
        [100, 100],
        [200, 200],
        [300, 300],
        [400, 400],
      ],
    ],
    [
      'three on a line',
      [
        [100, 100],
        [300, 100],
        [500, 100],
        [300, 400],
      ],
    ],
    [
      'coincide',
      [
        [100, 100],
        [100, 100],
        [300, 300],
        [100, 300],
      ],
    ],
    [
      'enclose a few pixels',
      [
        [100, 100],
        [130, 100],
        [130, 130],
        [100, 130],
      ],
    ],
    [
      'lie outside',
      [
        [-20, 100],
        [800, 100],
        [800, 700],
        [100, 700],
      ],
    ],
    [
      'are no numbers',
      [
        [Number.NaN, 100],
        [800, 100],
        [800, 700],
        [100, 700],
      ],
    ],
    [
      'are endless',
      [
        [100, 100],
        [Number.POSITIVE_INFINITY, 100],
        [800, 700],
        [100, 700],
      ],
    ],
  ])('is refused when its corners %s', (_, corners) => {
    expect(() => placeByCorners(OWN_CARD, corners, PHOTO)).toThrow(
      expect.objectContaining({ name: 'SprayoutError', code: 'corners-invalid' }),
    );
  });
});
