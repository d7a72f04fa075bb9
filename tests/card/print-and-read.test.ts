import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { adoptFromPhoto } from '../../src/cli/adopt-card.ts';
import { drawCardPdf } from '../../src/core/card/draw/index.ts';
import { tagCells } from '../../src/core/card/draw/tag-cells.ts';
import { findCards } from '../../src/core/card/find/index.ts';
import { OWN_CARD, OWN_STRIPS } from '../../src/core/card/own.ts';
import type { CardDefinition } from '../../src/core/card/types.ts';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { pagesOf, toMm } from './page-content.ts';
import { Canvas, paintCard } from './painted-photo.ts';

describe('the printed sheet, photographed flat', () => {
  it('shows the card and both strips where they were drawn', async () => {
    const [page] = await pagesOf(await drawCardPdf([OWN_CARD, ...OWN_STRIPS]));
    const px = 4;
    const canvas = new Canvas(210 * px, 297 * px, [0.8, 0.8, 0.8]);
    for (const { colour, polygons } of page.fills) {
      const rgb = (colour.length === 1 ? [colour[0], colour[0], colour[0]] : colour).map(
        (v) => v ** 2.2 * 0.78 + 0.02,
      );
      for (const polygon of polygons) {
        const [[left, top], , [right, bottom]] = polygon.map((p) => toMm(page, p));
        canvas.paint(
          left * px,
          top * px,
          right * px,
          bottom * px,
          rgb as unknown as [number, number, number],
        );
      }
    }
    const found = findCards(canvas.photo(), [OWN_CARD, ...OWN_STRIPS]);
    expect(found.map((f) => f.definition.name)).toEqual(['Bench card A6', 'Bench strip 1', 'Bench strip 2']);
    // the sheet's column begins 31 mm from the left, card and strips under one another
    const tops = found.map((f) => f.corners_px[0].map((v) => v / px));
    for (const [x] of tops) expect(x).toBeCloseTo(31, 1);
    expect(tops[1][1] - tops[0][1]).toBeCloseTo(105 + 8, 1);
    expect(tops[2][1] - tops[1][1]).toBeCloseTo(16 + 8, 1);
    const [, , corner] = found[0].corners_px;
    expect(corner[0] / px - tops[0][0]).toBeCloseTo(148, 1);
    expect(corner[1] / px - tops[0][1]).toBeCloseTo(105, 1);
  });
});

describe('a print adopted beside a measured chart', () => {
  /** The chart: the card's own colours in another order, no markers, known within .3. */
  const chart: CardDefinition = {
    ...OWN_CARD,
    name: 'Chart',
    source: 'measured',
    markers: [],
    patches: OWN_CARD.patches.map(({ replicate_of: _, print: __, ...p }) => ({ ...p, u: 0.3 })),
  };
  /** The print: every colour some 4 ΔE2000 off, as a printer nobody adjusted gives. */
  const print: CardDefinition = {
    ...OWN_CARD,
    patches: OWN_CARD.patches.map((p) => {
      const [L, a, b] = p.lab as [number, number, number];
      return {
        ...p,
        lab: [L > 90 ? L : L * 0.94 + 1, a * 0.88 + 1, b * 0.88 + 2] as [number, number, number],
      };
    }),
  };
  let folder = '';
  let file = '';
  const px = 5;
  const chartAt = [60, 60 + 120 * px] as const;

  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'adopt-'));
    file = join(folder, 'bench.png');
    const canvas = new Canvas(170 * px, 250 * px, [0.16, 0.16, 0.17]);
    paintCard(canvas, print, [60, 60], px, 0.85);
    paintCard(canvas, chart, chartAt, px, 0.85);
    for (const { id, corners_mm } of OWN_CARD.markers) {
      const [x0, y0] = corners_mm[0];
      tagCells(id).forEach((row, r) => {
        row.forEach((isBlack, c) => {
          if (!isBlack) return;
          const left = 60 + (x0 + 2.5 * c) * px;
          const top = 60 + (y0 + 2.5 * r) * px;
          canvas.paint(left, top, left + 2.5 * px, top + 2.5 * px, [0.02, 0.02, 0.02]);
        });
      });
    }
    const random = seededRandom(5);
    const { data, width_px, height_px } = canvas.photo(() => 0.8 * random.normal());
    await sharp(data, { raw: { width: width_px, height: height_px, channels: 3 } })
      .png()
      .toFile(file);
  }, 60_000);
  afterAll(async () => {
    await rm(folder, { recursive: true });
  });

  it('has the print’s colours, not the nominal ones, within the uncertainty it states', async () => {
    const [x, y] = chartAt;
    const [w, h] = [148 * px, 105 * px];
    const corners = [
      [x, y],
      [x + w, y],
      [x + w, y + h],
      [x, y + h],
    ] as const;
    const { card, check } = await adoptFromPhoto(file, chart, corners);
    expect(check.mean_de00).toBeLessThan(1);
    const off = (a: CardDefinition): number[] =>
      a.patches.map((p, i) => deltaE2000(p.lab as Lab, print.patches[i].lab as Lab));
    const mean = (v: readonly number[]): number => v.reduce((s, x) => s + x, 0) / v.length;
    expect(mean(off(OWN_CARD))).toBeGreaterThan(2.5);
    expect(mean(off(card))).toBeLessThan(0.4 * mean(off(OWN_CARD)));
    const inUnits = off(card).map((d, i) => d / card.patches[i].u);
    expect(Math.max(...inUnits)).toBeLessThan(3);
    expect(Math.sqrt(mean(inUnits.map((v) => v * v)))).toBeLessThan(1.5);
  });

  it('needs corners for a chart without markers, and another chart than the card itself', async () => {
    await expect(adoptFromPhoto(file, chart, undefined)).rejects.toMatchObject({ code: 'usage' });
    await expect(adoptFromPhoto(file, OWN_CARD, undefined)).rejects.toMatchObject({ code: 'usage' });
  });
});
