import { describe, expect, it } from 'vitest';
import type { PlacedCard } from '../../src/core/card/types.ts';
import { SprayoutError } from '../../src/core/errors.ts';
import { checkPanels, evennessOf, panelWarnings, samplePanel } from '../../src/core/panel/index.ts';
import type { QuadPx, Reading } from '../../src/core/photo/types.ts';
import { paint, rectangle } from '../photo/painted-area.ts';

const PHOTO = { width_px: 400, height_px: 300 };

function codeOf(act: () => void): string | undefined {
  try {
    act();
  } catch (error) {
    if (error instanceof SprayoutError) return error.code;
    throw error;
  }
  return undefined;
}

describe('cells of a panel', () => {
  it('are sixteen, row by row, each with the light at its own place', () => {
    const raster = paint({ ...PHOTO, light: (x) => [0.2 + 0.0005 * x, 0.2, 0.1] });
    const { reading, cells } = samplePanel(raster, rectangle(50, 50, 300, 200));
    expect(cells).toHaveLength(16);
    for (const cell of cells) {
      expect(cell.linear[0]).toBeCloseTo(0.2 + 0.0005 * cell.centre_px[0], 2);
      expect(cell.noise[0]).toBeGreaterThan(reading.noise[0]);
    }
    expect(cells[1].centre_px[0]).toBeGreaterThan(cells[0].centre_px[0]);
    expect(cells[4].centre_px[1]).toBeGreaterThan(cells[3].centre_px[1]);
  });

  it('that lie in glare give nothing rather than the glare', () => {
    const raster = paint({
      ...PHOTO,
      light: (x, y) => (x > 200 && y < 130 ? [0.6, 0.45, 0.45] : [0.2, 0.02, 0.02]),
    });
    const { cells } = samplePanel(raster, rectangle(50, 50, 300, 200));
    expect(cells.length).toBeLessThan(16);
    expect(cells.length).toBeGreaterThanOrEqual(10);
    for (const cell of cells) expect(cell.linear[1]).toBeLessThan(0.022);
  });

  it('of equal colour are even; a drift of two L* from side to side is uneven by half of one', () => {
    expect(evennessOf([[50, 10, 10]])).toBe(0);
    expect(evennessOf(Array.from({ length: 16 }, () => [50, 10, 10] as const))).toBe(0);
    const drift = Array.from({ length: 16 }, (_, i) => [49 + (2 * (i % 4)) / 3, 0, 0] as const);
    // near L* 50 one L* is one ΔE00; the four columns lie 1, 1/3, 1/3 and 1 from their mean
    expect(evennessOf(drift)).toBeCloseTo(2 / 3, 2);
  });
});

describe('warnings of a panel', () => {
  const good: Reading = {
    linear: [0.2, 0.1, 0.1],
    noise: [1e-4, 1e-4, 1e-4],
    clippedHigh: [0, 0, 0],
    clippedLow: [0, 0, 0],
    pixels: 9000,
    glareFraction: 0.01,
    dustFraction: 0.001,
    centre_px: [10, 10],
  };
  const codes = (reading: Partial<Reading>, more: object = {}): string[] =>
    panelWarnings({ id: 'A', reading: { ...good, ...reading }, ...more }).map((w) => w.code);

  it('are none for a good one', () => {
    expect(
      codes(
        {},
        {
          evenness_de00: 0.4,
          card: [
            { ...good, linear: [0.02, 0.02, 0.02] },
            { ...good, linear: [0.9, 0.9, 0.9] },
          ],
        },
      ),
    ).toEqual([]);
  });

  it('name what is wrong and what to do', () => {
    expect(codes({ clippedHigh: [0.4, 0, 0] })).toEqual(['panel-clipped-high']);
    expect(codes({ clippedLow: [0, 0.2, 0.2] })).toEqual(['panel-clipped-low']);
    expect(codes({ glareFraction: 0.3 })).toEqual(['panel-glare']);
    expect(codes({ dustFraction: 0.3 })).toEqual(['panel-spots']);
    expect(codes({ pixels: 90 })).toEqual(['panel-few-pixels']);
    expect(codes({}, { evenness_de00: 3 })).toEqual(['panel-uneven']);
    const veil = { de00: 2.24, palest: [-0.9, -0.43] as const };
    expect(codes({}, { evenness_de00: 3, veil })).toEqual(['panel-veiled']);
    expect(codes({}, { veil: { ...veil, de00: 0.6 } })).toEqual([]);
    expect(panelWarnings({ id: 'C', reading: good, veil })[0].message).toMatch(
      /paler towards its top left: .* 2\.2 ΔE apart/,
    );
    const [warning] = panelWarnings({ id: 'B', reading: { ...good, clippedLow: [0, 0.2, 0.2] } });
    expect(warning.message).toMatch(/Panel B is too deep for this photo in green and blue: more light/);
  });

  it('say when a colour lies beyond the card', () => {
    const card = [
      { ...good, linear: [0.03, 0.03, 0.03] as const },
      { ...good, linear: [0.8, 0.8, 0.8] as const },
    ];
    expect(codes({ linear: [0.3, 0.004, 0.01] }, { card })).toEqual(['panel-beyond-card']);
    expect(codes({ linear: [0.99, 0.5, 0.5] }, { card })).toEqual(['panel-beyond-card']);
  });
});

describe('places of panels', () => {
  const check = (corners_px: QuadPx, cards: readonly PlacedCard[] = []) =>
    codeOf(() => checkPanels([{ id: 'A', corners_px }], PHOTO, cards));

  it('inside the photo, beside the card, are accepted', () => {
    expect(check(rectangle(10, 10, 100, 100))).toBeUndefined();
  });

  it('that make no quadrilateral are refused', () => {
    expect(
      check([
        [0, 0],
        [50, 50],
        [50, 0],
        [0, 50],
      ]),
    ).toBe('panels-invalid');
    expect(
      check([
        [0, 0],
        [50, 0],
        [50, 50],
        [Number.NaN, 50],
      ]),
    ).toBe('panels-invalid');
    expect(
      check([
        [0, 0],
        [50, 0],
        [20, 10],
        [0, 50],
      ]),
    ).toBe('panels-invalid');
    expect(check(rectangle(10, 10, 100, 3))).toBe('panels-invalid');
  });

  it('outside the photo or on the card are refused', () => {
    expect(check(rectangle(350, 10, 100, 100))).toBe('panel-outside-photo');
    const card = {
      definition: { name: 'test', markers: [{}] },
      corners_px: rectangle(100, 100, 100, 70),
    } as unknown as PlacedCard;
    expect(check(rectangle(150, 120, 100, 100), [card])).toBe('panel-on-card');
    expect(check(rectangle(210, 120, 100, 100), [card])).toBeUndefined();
  });
});
