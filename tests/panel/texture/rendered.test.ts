import { describe, expect, it } from 'vitest';
import { evennessWords, texturePairs } from '../../../src/core/lights/index.ts';
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

it('a photo that is too coarse tells evenness, and says why it tells no texture', async () => {
  const [coarse] = await surfacesOf({ seed: 7, px_per_mm: 4, panels: 2, finish: () => ({}) });
  expect(coarse.texture).toBeUndefined();
  expect(coarse.evenness?.kind).toBe('even');
  expect(coarse.remarks[0]).toContain('flakes are too fine for this photo');
});
