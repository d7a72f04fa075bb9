import { describe, expect, it } from 'vitest';
import { isPlainBench } from '../../src/core/panel/plain-bench.ts';
import { srgbProfile } from '../../src/core/photo/index.ts';
import type { QuadPx, Raster } from '../../src/core/photo/types.ts';

const WIDTH = 384;
const HEIGHT = 288;
const CARD: QuadPx = [
  [20, 20],
  [150, 20],
  [150, 110],
  [20, 110],
];
const PANEL: QuadPx = [
  [220, 150],
  [320, 150],
  [320, 250],
  [220, 250],
];
const inside = ([[x0, y0], , [x1, y1]]: QuadPx, x: number, y: number): boolean =>
  x >= x0 && x < x1 && y >= y0 && y < y1;

/** A picture painted by the encoded grey of each pixel. */
function painted(grey: (x: number, y: number) => number): Raster {
  const data = new Uint8Array(3 * WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++)
    for (let x = 0; x < WIDTH; x++) data.fill(grey(x, y), 3 * (y * WIDTH + x), 3 * (y * WIDTH + x) + 3);
  return { width_px: WIDTH, height_px: HEIGHT, bits: 8, data, profile: srgbProfile(8) };
}

const scene =
  (bench: (x: number, y: number) => number, panel: (x: number, y: number) => number = () => 90) =>
  (x: number, y: number): number =>
    inside(CARD, x, y) ? (((x >> 3) + (y >> 3)) % 2) * 200 : inside(PANEL, x, y) ? panel(x, y) : bench(x, y);

const isPlain = (grey: (x: number, y: number) => number, panels: readonly QuadPx[] = [PANEL]): boolean =>
  isPlainBench(painted(grey), [CARD], panels);

describe('a plain bench', () => {
  it('is one even surface, also where the light falls off across it', () => {
    expect(isPlain(scene(() => 150))).toBe(true);
    expect(isPlain(scene((x) => 190 - x / 5))).toBe(true);
  });

  it('is not wood, nor one with things on it that nobody found', () => {
    expect(isPlain(scene((_, y) => 150 + 30 * Math.sin(y / 3)))).toBe(false);
    expect(isPlain(scene((x, y) => (x > 180 && x < 210 && y > 20 && y < 130 ? 60 : 150)))).toBe(false);
  });

  it('has even panels: one that mirrors a lamp needs the masks', () => {
    const lamp = (x: number, y: number): number => (Math.hypot(x - 270, y - 200) < 18 ? 250 : 90);
    expect(isPlain(scene(() => 150, lamp))).toBe(false);
  });

  it('is not told where no panel was found', () => {
    expect(
      isPlain(
        scene(() => 150),
        [],
      ),
    ).toBe(false);
  });
});
