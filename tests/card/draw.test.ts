import { describe, expect, it } from 'vitest';
import tags from '../../shared/tables/tag36h11.json' with { type: 'json' };
import { drawCardPdf, type Paper } from '../../src/core/card/draw/index.ts';
import { srgbProfileBytes } from '../../src/core/card/draw/srgb-profile.ts';
import { OWN_CARD, OWN_STRIPS } from '../../src/core/card/own.ts';
import type { CardDefinition } from '../../src/core/card/types.ts';
import { SprayoutError } from '../../src/core/errors.ts';
import { type PageContent, pagesOf, toMm } from './page-content.ts';

const SHEETS: readonly [Paper, number, number][] = [
  // ISO 216; ANSI/ASME Y14.1 (8.5 × 11 inches)
  ['a4', 210, 297],
  ['letter', 8.5 * 25.4, 11 * 25.4],
];

/** Where the card's top left corner lies on the sheet, from its first marker. */
function originOf(page: PageContent, card: CardDefinition): readonly [number, number] {
  const black = page.fills.find(
    (f) => f.colour.length === 1 && f.colour[0] === 0,
  ) as PageContent['fills'][number];
  const at = toMm(page, black.polygons[0][0]);
  const corner = card.markers[0].corners_mm[0];
  return [at[0] - corner[0], at[1] - corner[1]];
}

function fillsByCorner(page: PageContent, origin: readonly [number, number]) {
  return page.fills.map(({ colour, polygons }) => ({
    colour,
    polygons: polygons.map((p) => p.map((point) => toMm(page, point).map((v, i) => v - origin[i]))),
  }));
}

describe.each(SHEETS)('the card on %s', (paper, width, height) => {
  it('fills one sheet of that size', async () => {
    const pages = await pagesOf(await drawCardPdf([OWN_CARD, ...OWN_STRIPS], { paper }));
    expect(pages).toHaveLength(1);
    expect((pages[0].size_pt[0] * 25.4) / 72).toBeCloseTo(width, 6);
    expect((pages[0].size_pt[1] * 25.4) / 72).toBeCloseTo(height, 6);
  });

  it('keeps 8 mm clear on all sides, where desktop printers do not print', async () => {
    const [page] = await pagesOf(await drawCardPdf([OWN_CARD, ...OWN_STRIPS], { paper }));
    const points = [...page.fills.flatMap((f) => f.polygons.flat()), ...page.segments.flat()].map((p) =>
      toMm(page, p),
    );
    const texts = page.texts.map((t) => toMm(page, t.at_pt));
    for (const [x, y] of [...points, ...texts]) {
      expect(x).toBeGreaterThan(8);
      expect(y).toBeGreaterThan(8);
      expect(x).toBeLessThan(width - 8);
      expect(y).toBeLessThan(height - 8);
    }
  });

  it('prints every patch in its place and size within .001 mm, in the stated colour', async () => {
    const [page] = await pagesOf(await drawCardPdf([OWN_CARD, ...OWN_STRIPS], { paper }));
    const fills = fillsByCorner(page, originOf(page, OWN_CARD));
    const printed = OWN_CARD.patches.filter((p) => p.print?.srgb.some((v) => v !== 255));
    expect(printed.length).toBe(18 + 6 + 11);
    for (const patch of printed) {
      const [x, y, w, h] = patch.rect_mm;
      const corners = [x, y, x + w, y, x + w, y + h, x, y + h];
      const drawn = fills.filter(({ polygons }) => {
        const flat = polygons[0].flat();
        return polygons.length === 1 && corners.every((v, i) => Math.abs(v - flat[i]) < 0.001);
      });
      expect(drawn, patch.id).toHaveLength(1);
      expect(drawn[0].colour.map((v) => Math.round(v * 255))).toEqual(patch.print?.srgb);
    }
  });
});

it('prints the check rule exactly 100 mm long, with a tick every millimetre', async () => {
  const [page] = await pagesOf(await drawCardPdf([OWN_CARD]));
  const across = page.segments.map((s) => s.map((p) => toMm(page, p)));
  const [base] = across.filter(([a, b]) => a[1] === b[1] && Math.abs(b[0] - a[0] - 100) < 1e-9);
  const ticks = across.filter(([a, b]) => Math.abs(a[0] - b[0]) < 1e-9 && Math.abs(a[1] - base[0][1]) < 1e-9);
  const places = ticks.map(([a]) => a[0] - base[0][0]).sort((a, b) => a - b);
  expect(places).toHaveLength(101);
  for (const [mm, place] of places.entries()) expect(place).toBeCloseTo(mm, 9);
});

it('prints each tag as its code in the 36h11 table: a black border one cell wide and 6 × 6 cells, bit 1 white', async () => {
  const [page] = await pagesOf(await drawCardPdf([OWN_CARD, ...OWN_STRIPS]));
  const black = page.fills.filter((f) => f.colour.length === 1 && f.colour[0] === 0);
  const markers = [OWN_CARD, ...OWN_STRIPS].flatMap((c) => c.markers);
  const drawn = black.filter((f) => f.polygons.length > 8);
  expect(drawn).toHaveLength(markers.length);
  markers.forEach((marker, m) => {
    const polygons = drawn[m].polygons.map((p) => p.map((point) => toMm(page, point)));
    const xs = polygons.flat().map(([x]) => x);
    const ys = polygons.flat().map(([, y]) => y);
    const [left, top] = [Math.min(...xs), Math.min(...ys)];
    const side = marker.corners_mm[1][0] - marker.corners_mm[0][0];
    expect(Math.max(...xs) - left).toBeCloseTo(side, 6);
    expect(Math.max(...ys) - top).toBeCloseTo(side, 6);
    const isBlack = (column: number, row: number): boolean => {
      const x = left + ((column + 0.5) * side) / 8;
      const y = top + ((row + 0.5) * side) / 8;
      return polygons.some(([a, , c]) => x > a[0] && x < c[0] && y > a[1] && y < c[1]);
    };
    for (let i = 0; i < 8; i++)
      expect(isBlack(i, 0) && isBlack(i, 7) && isBlack(0, i) && isBlack(7, i), `border of ${marker.id}`).toBe(
        true,
      );
    let bits = '';
    for (let row = 1; row < 7; row++)
      for (let column = 1; column < 7; column++) bits += isBlack(column, row) ? '0' : '1';
    expect(BigInt(`0b${bits}`), `tag ${marker.id}`).toBe(BigInt(tags.codes[marker.id]));
  });
});

it('is drawn with vectors and text alone, and the same each time', async () => {
  const first = await drawCardPdf([OWN_CARD, ...OWN_STRIPS]);
  const again = await drawCardPdf([OWN_CARD, ...OWN_STRIPS]);
  expect(Buffer.from(first).equals(Buffer.from(again))).toBe(true);
  const [page] = await pagesOf(first);
  for (const operator of ['Do', 'BI', 'sh']) expect(page.operators.has(operator)).toBe(false);
});

it('says how to print: scale, paper, quality, drying, colour management, cutting, replacing', async () => {
  const [page] = await pagesOf(await drawCardPdf([OWN_CARD, ...OWN_STRIPS]));
  const text = page.texts.map((t) => t.text).join(' ');
  for (const word of [
    '100 %',
    'actual size',
    'Matt',
    'best quality',
    'hour',
    'colour management',
    'Cut',
    'faded',
    'ruler',
  ])
    expect(text).toContain(word);
  for (const patch of OWN_CARD.patches) expect(text).toContain(` ${patch.id} `);
});

describe('another card', () => {
  const plain = (size_mm: [number, number]): CardDefinition => ({
    format: 'sprayout-card/1',
    name: 'Täglich ≥ 1',
    size_mm,
    white: 'D65/10',
    source: 'measured',
    markers: [],
    patches: [
      { id: 'grey', role: 'neutral', rect_mm: [5, 5, 20, 20], lab: [50, 0, 0], u: 0.5 },
      { id: 'strong', role: 'colour', rect_mm: [30, 5, 20, 20], lab: [60, 95, -80], u: 0.5 },
      { id: 'mild', role: 'colour', rect_mm: [55, 5, 20, 20], lab: [60, 20, 20], u: 0.5 },
    ],
  });

  it('is drawn from its Lab, a colour that no printer has at its own hue', async () => {
    const [page] = await pagesOf(await drawCardPdf([plain([90, 60])]));
    const [grey, strong, mild] = page.fills
      .filter((f) => f.colour.length === 3)
      .map((f) => f.colour.map((v) => v * 255));
    expect(Math.max(...grey) - Math.min(...grey)).toBeLessThan(4);
    for (const v of strong) expect(v >= 0 && v <= 255).toBe(true);
    expect(strong[0]).toBeGreaterThan(strong[1]);
    expect(strong[2]).toBeGreaterThan(strong[1]);
    expect(mild[0]).toBeGreaterThan(mild[1]);
    expect(mild[1]).toBeGreaterThan(mild[2]);
  });

  it('turns the sheet when it is too wide to stand', async () => {
    const [page] = await pagesOf(await drawCardPdf([plain([250, 100])]));
    expect(page.size_pt[0]).toBeGreaterThan(page.size_pt[1]);
  });

  it('larger than the sheet is refused', async () => {
    await expect(drawCardPdf([plain([290, 200])])).rejects.toMatchObject({ code: 'card-invalid' });
    await expect(drawCardPdf([plain([290, 200])])).rejects.toBeInstanceOf(SprayoutError);
  });

  it('with markers of a family that is not known is refused', async () => {
    const card = plain([90, 60]);
    const marked: CardDefinition = { ...card, markers: [{ ...OWN_CARD.markers[0], family: 'rings' }] };
    await expect(drawCardPdf([marked])).rejects.toMatchObject({ code: 'card-invalid' });
  });
});

it('embeds an sRGB profile whose numbers are those of IEC 61966-2-1', () => {
  const bytes = srgbProfileBytes();
  const view = new DataView(bytes.buffer);
  expect(view.getUint32(0)).toBe(bytes.length);
  const tagAt = (name: string): number => {
    for (let i = 0; i < view.getUint32(128); i++) {
      const at = 132 + 12 * i;
      if (String.fromCharCode(...bytes.slice(at, at + 4)) === name) return view.getUint32(at + 4);
    }
    throw new Error(name);
  };
  // the three colorants add up to the profile connection white, D50 (ICC.1:2001-04)
  [0.9642, 1, 0.8249].forEach((white, i) => {
    const sum = ['rXYZ', 'gXYZ', 'bXYZ'].reduce((s, t) => s + view.getInt32(tagAt(t) + 8 + 4 * i) / 65536, 0);
    expect(sum).toBeCloseTo(white, 3);
  });
  // half signal is .2140 linear
  const curve = tagAt('gTRC');
  const count = view.getUint32(curve + 8);
  const at = (v: number): number => view.getUint16(curve + 12 + 2 * Math.round(v * (count - 1))) / 65535;
  expect(at(0.5)).toBeCloseTo(0.214, 2);
  expect(at(1)).toBe(1);
});
