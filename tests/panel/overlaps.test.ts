import { expect, it } from 'vitest';
import { overlapWarnings } from '../../src/core/panel/index.ts';
import type { QuadPx } from '../../src/core/photo/types.ts';

const square = (x: number, y: number): QuadPx => [
  [x, y],
  [x + 100, y],
  [x + 100, y + 100],
  [x, y + 100],
];

it('two panels on one place are named, neighbours and a panel outlined twice are not', () => {
  const panels = [
    { id: 'p1', corners_px: square(0, 0) },
    { id: 'p2', corners_px: square(3, 2) },
    { id: 'p3', corners_px: square(110, 0) },
    { id: 'p3', corners_px: square(111, 1) },
  ];
  const warnings = overlapWarnings(panels, ' in photo sun');
  expect(warnings.map((w) => w.code)).toEqual(['places-overlap']);
  expect(warnings[0].message).toMatch(/^p1 and p2 lie on the same place in photo sun/);
});
