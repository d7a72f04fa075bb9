import { describe, expect, it } from 'vitest';
import { adoptCard, type ReadColours } from '../../src/core/card/adopt.ts';
import { parseCard } from '../../src/core/card/definition.ts';
import { definitionText } from '../../src/core/card/make-definition.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { patchQuads } from '../../src/core/card/place.ts';
import type { PlacedCard } from '../../src/core/card/types.ts';
import type { Lab } from '../../src/core/color/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';

const COUNT = 400;

/** Readings of the card's patches, each 3 L* darker than stated, with independent normal draws of this spread. */
function readings(spread: number, { white = 'D50/2', without = [] as readonly string[] } = {}): ReadColours {
  const random = seededRandom(7);
  const patches = OWN_CARD.patches.filter((p) => !without.includes(p.id));
  const lab = patches.map((p): Lab => {
    const [L, a, b] = p.lab as [number, number, number];
    return [L - 3, a, b];
  });
  const draws = Float64Array.from({ length: COUNT * patches.length * 3 }, (_, i) => {
    const at = Math.floor(i / 3) % patches.length;
    return lab[at][i % 3] + spread * random.normal();
  });
  return { white, ids: patches.map((p) => p.id), lab, count: COUNT, draws };
}

describe('a card adopted from a photo', () => {
  const card = adoptCard(OWN_CARD, readings(1.2), 'bench.jpg');

  it('has the colours that were read, Lab only, in the same places', () => {
    expect(card.source).toBe('adopted');
    card.patches.forEach((p, i) => {
      expect(p.rect_mm).toEqual(OWN_CARD.patches[i].rect_mm);
      expect(p.spectrum).toBeUndefined();
      expect((p.lab as number[])[0]).toBeCloseTo((OWN_CARD.patches[i].lab as number[])[0] - 3, 1);
    });
  });

  it('states the spread of the draws: for a mid grey, spread 1.2 an axis is √3 · 1.2 in all, a little more or less in ΔE2000', () => {
    const u = card.patches.find((p) => p.id === 'N3')?.u as number;
    expect(u).toBeGreaterThan(0.8 * Math.sqrt(3) * 1.2);
    expect(u).toBeLessThan(1.25 * Math.sqrt(3) * 1.2);
  });

  it('is surer of inks that it shows twelve times', () => {
    const u = (id: string): number => card.patches.find((p) => p.id === id)?.u as number;
    expect(u('N4')).toBeLessThan(u('N3') / 2.5);
    expect(u('G7')).toBe(u('N4'));
  });

  it('never claims to know a print better than it is even', () => {
    for (const { u } of adoptCard(OWN_CARD, readings(0.01), 'bench.jpg').patches) expect(u).toBe(0.5);
  });

  it('can be written and read again', () => {
    expect(parseCard(JSON.parse(definitionText(card)), 'adopted')).toEqual(card);
  });

  it('takes white along the sides from its neighbours when a lamp hides one', () => {
    const some = adoptCard(OWN_CARD, readings(0.5, { without: ['W3', 'G2'] }), 'bench.jpg');
    expect(some.patches.find((p) => p.id === 'W3')?.lab?.[0]).toBeCloseTo(95.8 - 3, 0);
  });

  it('is refused when a colour was not read, or was read under another white', () => {
    expect(() => adoptCard(OWN_CARD, readings(1, { without: ['F4'] }), 'bench.jpg')).toThrowError(
      expect.objectContaining({ code: 'readings-invalid', message: expect.stringContaining('"F4"') }),
    );
    expect(() => adoptCard(OWN_CARD, readings(1, { white: 'D65/10' }), 'bench.jpg')).toThrowError(
      expect.objectContaining({ code: 'card-invalid' }),
    );
  });
});

it('the patches’ places in a photo follow the card’s placing, corners in the patch’s own order', () => {
  // turned by a quarter: x runs down the picture
  const placed: PlacedCard = {
    definition: OWN_CARD,
    found_by: 'markers',
    corners_px: [
      [500, 0],
      [500, 296],
      [290, 296],
      [290, 0],
    ],
    toPx: ([x, y]) => [500 - 2 * y, 2 * x],
    toMm: ([x, y]) => [y / 2, (500 - x) / 2],
    residual_px: 0,
  };
  const quads = patchQuads(placed);
  expect(quads).toHaveLength(OWN_CARD.patches.length);
  const [x, y, w, h] = OWN_CARD.patches[0].rect_mm;
  expect(quads[0]).toEqual({
    id: 'N1',
    corners_px: [
      [500 - 2 * y, 2 * x],
      [500 - 2 * y, 2 * (x + w)],
      [500 - 2 * (y + h), 2 * (x + w)],
      [500 - 2 * (y + h), 2 * x],
    ],
  });
});
