import { describe, expect, it } from 'vitest';
import { evennessWords, texturePairs } from '../../../src/core/lights/index.ts';
import type { EvennessMap } from '../../../src/core/panel/texture/index.ts';
import { pointInQuadAt } from '../../../src/core/photo/polygon.ts';
import type { PointPx, Raster } from '../../../src/core/photo/types.ts';
import { surfacesOf } from '../../bench/texture/finished-panels.ts';

/** Flakes on three panels, stripes on the next two, nothing on the last. */
const finished = await surfacesOf({
  seed: 7,
  px_per_mm: 8,
  panels: 6,
  finish: (i) => ({
    ...(i < 3 && { grain: 0, flakes: { size_mm: [0.2, 0.4, 0.8][i], cover: 0.3, gleam: 2, seed: 40 + i } }),
    ...((i === 3 || i === 4) && { stripes: { every_mm: 3 * i, depth: 0.05, along: 'y' } }),
  }),
});

describe('a camera JPEG of finished panels', () => {
  it('ranks their flakes by size', () => {
    const figures = finished.slice(0, 3).map((s) => s.texture!.figure);
    expect([...figures].sort((a, b) => a - b)).toEqual(figures);
    for (const { texture } of finished.slice(0, 3)) {
      expect(texture!.interval95[0]).toBeLessThan(texture!.figure);
      expect(texture!.interval95[1]).toBeGreaterThan(texture!.figure);
    }
    const pair = texturePairs(finished).find((p) => p.a === 'p1' && p.b === 'p3');
    expect(pair?.words).toBe('sparkles less, finer');
  });

  it('tells stripes of 5 % from an even panel', () => {
    const words = finished.slice(3).map((s) => evennessWords(s.evenness!));
    expect(words[0]).toMatch(/^stripes every 9 mm along its length/);
    expect(words[1]).toMatch(/^stripes every (11|12) mm along its length/);
    expect(words[2]).toMatch(/^even/);
  });
});

it('a hang hole and a mirrored lamp are no unevenness, nor are their rims', async () => {
  const [plain] = await surfacesOf({ seed: 7, px_per_mm: 5, panels: 1, finish: () => ({}) });
  const [spoilt] = await surfacesOf({
    seed: 7,
    px_per_mm: 5,
    panels: 1,
    finish: () => ({}),
    spoil: (raster, [panel]) => {
      paintOver(raster, pointInQuadAt(panel, 0.5, 0.15), (mm) => (mm < 3.5 ? [20, 1] : [20, 0]));
      // a lamp's mirror image, clipped in its middle and fading out over some millimetres
      paintOver(raster, pointInQuadAt(panel, 0.3, 0.7), (mm) => [255, Math.min(1, Math.exp((4 - mm) / 1.2))]);
    },
  });
  const farthest = (map: EvennessMap): number => Math.max(...map.de00.map((v) => v ?? 0));
  expect(spoilt.evenness!.de00.filter((v) => v === undefined).length).toBeGreaterThan(20);
  expect(farthest(spoilt.evenness!)).toBeLessThan(farthest(plain.evenness!) + 0.3);
  expect(spoilt.evenness!.kind).toBe('even');
});

/** Mixes a grey level into every pixel around a place, by its distance in mm at 5 pixels a millimetre. */
function paintOver(raster: Raster, [cx, cy]: PointPx, mix: (mm: number) => readonly [number, number]): void {
  const reach = 60;
  for (let y = Math.round(cy) - reach; y < cy + reach; y++)
    for (let x = Math.round(cx) - reach; x < cx + reach; x++) {
      const [level, share] = mix(Math.hypot(x - cx, y - cy) / 5);
      const at = 3 * (y * raster.width_px + x);
      for (let c = 0; c < 3; c++) raster.data[at + c] += Math.round(share * (level - raster.data[at + c]));
    }
}

it('a photo that is too coarse tells evenness, and says why it tells no texture', async () => {
  const [coarse] = await surfacesOf({ seed: 7, px_per_mm: 4, panels: 2, finish: () => ({}) });
  expect(coarse.texture).toBeUndefined();
  expect(coarse.evenness?.kind).toBe('even');
  expect(coarse.remarks[0]).toContain('flakes are too fine for this photo');
});
