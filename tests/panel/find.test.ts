import { describe, expect, it } from 'vitest';
import type { CardDefinition, PlacedCard } from '../../src/core/card/types.ts';
import { inReadingOrder, panelName } from '../../src/core/panel/find/order.ts';
import { findPanels } from '../../src/core/panel/index.ts';
import { quadArea, quadCentre, sharedArea } from '../../src/core/photo/polygon.ts';
import type { PointPx, QuadPx, Raster } from '../../src/core/photo/types.ts';
import { paint, rectangle } from '../photo/painted-area.ts';
import { type BenchOptions, type Ground, paintBench } from './painted-bench.ts';

function tally(seeds: readonly number[], options: BenchOptions) {
  let truth = 0;
  let found = 0;
  let wrong = 0;
  let furthest = 0;
  for (const seed of seeds) {
    const bench = paintBench(seed, { rows: 1 + (seed % 3), columns: 2 + (seed % 3), ...options });
    const panels = findPanels(bench.raster, []);
    truth += bench.panels.length;
    for (const real of bench.panels) {
      const match = panels.find(
        ({ corners_px }) =>
          sharedArea(corners_px, real) > 0.9 * Math.max(quadArea(real), quadArea(corners_px)),
      );
      if (!match) continue;
      found++;
      for (const [x, y] of match.corners_px)
        furthest = Math.max(furthest, Math.min(...real.map((p) => Math.hypot(p[0] - x, p[1] - y))));
    }
    wrong += panels.filter(
      ({ corners_px }) =>
        !bench.panels.some((real) => sharedArea(corners_px, real) > 0.5 * quadArea(corners_px)),
    ).length;
  }
  return { truth, found, wrong, furthest };
}

/** A card lying on a rectangle of the photo; only its place matters here. */
function cardOn(corners_px: QuadPx): PlacedCard {
  const definition = { name: 'test', size_mm: [100, 70] } as unknown as CardDefinition;
  return {
    definition,
    found_by: 'corners',
    corners_px,
    toPx: ([x, y]) => [x, y],
    toMm: ([x, y]) => [x, y],
    residual_px: 0,
  };
}

describe('panels on a bench', () => {
  it.each<Ground>(['plain', 'cloth', 'speckled'])(
    'are all found, and nothing else, on a %s ground',
    (ground) => {
      const { truth, found, wrong, furthest } = tally([1, 2, 3, 4], { ground });
      expect(found).toBe(truth);
      expect(wrong).toBe(0);
      expect(furthest).toBeLessThan(1.5);
    },
  );

  it('are found on grained wood, where few pieces of the grain are taken for panels', () => {
    const { truth, found, wrong } = tally([1, 2, 4], { ground: 'wood' });
    expect(found).toBe(truth);
    expect(wrong).toBeLessThanOrEqual(2);
  });

  it('with hang holes and a lamp mirrored in them are found whole', () => {
    const { truth, found, wrong } = tally([1, 2, 3, 4], { hangHoles: true, glare: true });
    expect(found).toBeGreaterThanOrEqual(truth - 1);
    expect(wrong).toBe(0);
  });

  it('with sparkle are found', () => {
    const { truth, found } = tally([1, 3], { sparkle: true });
    expect(found).toBe(truth);
  });

  it('are named in rows from the top, each from the left, corners from the top left round', () => {
    const bench = paintBench(3, { rows: 2, columns: 3 });
    const panels = findPanels(bench.raster, []);
    expect(panels.map((p) => p.id)).toEqual(['A', 'B', 'C', 'D', 'E', 'F']);
    panels.forEach(({ corners_px }, i) => {
      const [x, y] = quadCentre(bench.panels[i]);
      const [fx, fy] = quadCentre(corners_px);
      expect(Math.hypot(fx - x, fy - y)).toBeLessThan(2);
      corners_px.forEach(([cx, cy], k) => {
        expect(Math.hypot(cx - bench.panels[i][k][0], cy - bench.panels[i][k][1])).toBeLessThan(2);
      });
    });
  });
});

describe('what is no panel', () => {
  it('an empty bench gives an empty list', () => {
    for (const ground of ['plain', 'cloth', 'speckled', 'wood'] as const)
      expect(
        findPanels(paintBench(5, { rows: 0, columns: 1, ground }).raster, []).length,
      ).toBeLessThanOrEqual(ground === 'wood' ? 1 : 0);
  });

  it('a card is left out, and so is a panel that lies on it', () => {
    const card = rectangle(60, 60, 200, 140);
    const panel = rectangle(330, 60, 120, 140);
    const on = (quad: QuadPx, x: number, y: number): boolean =>
      x >= quad[0][0] && x < quad[1][0] && y >= quad[0][1] && y < quad[2][1];
    const raster = paint({
      width_px: 500,
      height_px: 260,
      light: (x, y) =>
        on(card, x, y) ? [0.8, 0.8, 0.8] : on(panel, x, y) ? [0.2, 0.02, 0.02] : [0.3, 0.3, 0.3],
    });
    expect(findPanels(raster, [])).toHaveLength(2);
    const found = findPanels(raster, [cardOn(card)]);
    expect(found).toHaveLength(1);
    expect(sharedArea(found[0].corners_px, panel)).toBeGreaterThan(0.97 * quadArea(panel));
    expect(findPanels(raster, [cardOn(rectangle(300, 30, 100, 100))])).toHaveLength(1);
  });

  it('a panel cut by the photo is left out', () => {
    const raster = paint({
      width_px: 400,
      height_px: 300,
      light: (x, y) => (x < 120 && y > 80 && y < 220 ? [0.2, 0.02, 0.02] : [0.3, 0.3, 0.3]),
    });
    expect(findPanels(raster, [])).toEqual([]);
  });

  it('triangles and crescents are left out; of a flat disc the square in its middle is given', () => {
    const light = (inside: boolean): [number, number, number] =>
      inside ? [0.2, 0.02, 0.02] : [0.4, 0.4, 0.4];
    const size = { width_px: 400, height_px: 300 };
    const triangle = paint({
      ...size,
      light: (x, y) => light(y > 60 && y < 240 && Math.abs(x - 200) < (y - 60) / 2),
    });
    expect(findPanels(triangle, [])).toEqual([]);
    const disc = paint({ ...size, light: (x, y) => light((x - 200) ** 2 + (y - 150) ** 2 < 90 ** 2) });
    const [panel, ...rest] = findPanels(disc, []);
    expect(rest).toEqual([]);
    for (const [x, y] of panel.corners_px) expect(Math.hypot(x - 200, y - 150)).toBeLessThan(88);
    expect(quadArea(panel.corners_px)).toBeGreaterThan(0.3 * Math.PI * 90 ** 2);
  });

  it('noise, flat colour and slivers of photos give an empty list', () => {
    const flat = (width_px: number, height_px: number): Raster =>
      paint({ width_px, height_px, noise: 0, floor: 0, light: () => [0.3, 0.3, 0.3] });
    for (const [w, h] of [
      [1, 1],
      [3, 500],
      [500, 3],
      [40, 40],
      [300, 200],
    ])
      expect(findPanels(flat(w, h), [])).toEqual([]);
    const noise = paint({ width_px: 300, height_px: 200, noise: 0.8, light: () => [0.3, 0.3, 0.3] });
    expect(findPanels(noise, [])).toEqual([]);
  });
});

describe('reading order', () => {
  it('keeps a slightly slanted row together', () => {
    const at = ([x, y]: PointPx): QuadPx => rectangle(x, y, 80, 100);
    const places: PointPx[] = [
      [10, 30],
      [120, 10],
      [230, 0],
      [10, 170],
      [120, 150],
    ];
    const shuffled = [3, 1, 4, 2, 0].map((i) => at(places[i]));
    expect(inReadingOrder(shuffled.map((quad) => ({ quad }))).map(({ quad }) => quad[0])).toEqual(places);
  });

  it('names go on after Z', () => {
    expect([0, 1, 25, 26, 27, 51, 52].map(panelName)).toEqual(['A', 'B', 'Z', 'AA', 'AB', 'AZ', 'BA']);
  });
});
