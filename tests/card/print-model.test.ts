import { describe, expect, it } from 'vitest';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { type InkAreas, PAPER, printReflectance } from '../../src/core/card/print-model.ts';
import { deltaE2000, labFromReflectance, toGrid, viewing } from '../../src/core/color/index.ts';
import { demichelAreas, yuleNielsenMean } from '../../src/core/optics/index.ts';

const D50 = viewing('D50/2');
const labOf = (inks: InkAreas) => labFromReflectance(printReflectance(inks), D50);

describe('halftone equations', () => {
  it('with n = 1 is Murray–Davies: half covered, .8 and .05 make .425 (Murray, J. Franklin Inst. 1936)', () => {
    expect(yuleNielsenMean([0.5, 0.5], [0.8, 0.05], 1)).toBeCloseTo(0.425, 12);
  });

  it('with n = 2 averages square roots: ((√.8 + √.05) / 2)² = .3125 (Yule and Nielsen 1951)', () => {
    expect(yuleNielsenMean([0.5, 0.5], [0.8, 0.05], 2)).toBeCloseTo(0.3125, 12);
  });

  it('a larger n prints darker between paper and solid: optical dot gain', () => {
    const tones = [1, 1.4, 1.8, 2.5].map((n) => yuleNielsenMean([0.5, 0.5], [0.8, 0.05], n));
    for (let i = 1; i < tones.length; i++) expect(tones[i]).toBeLessThan(tones[i - 1]);
  });

  it('dots laid at random overlap as their product: .5 and .2 leave .4 of the paper (Demichel 1924)', () => {
    const [paper, first, second, both] = demichelAreas([0.5, 0.2]);
    expect([paper, first, second, both].map((v) => Number(v.toFixed(12)))).toEqual([0.4, 0.4, 0.1, 0.1]);
    expect(demichelAreas([0.3, 0.7, 0.1, 0.9]).reduce((a, b) => a + b)).toBeCloseTo(1, 12);
  });

  it('no ink is bare paper, and more of an ink never reflects more', () => {
    expect(Array.from(printReflectance([0, 0, 0, 0]))).toEqual(
      Array.from(PAPER, (v) => expect.closeTo(v, 12)),
    );
    for (const ink of [0, 1, 2, 3]) {
      const amounts = [0, 0.25, 0.5, 0.75, 1].map(
        (a) => [0, 1, 2, 3].map((i) => (i === ink ? a : 0)) as unknown as InkAreas,
      );
      const spectra = amounts.map(printReflectance);
      for (let i = 1; i < spectra.length; i++)
        spectra[i].forEach((r, k) => {
          expect(r).toBeLessThanOrEqual(spectra[i - 1][k]);
        });
    }
  });
});

describe('the nominal print', () => {
  it('has a plausible matt paper: L* 93 to 97, nearly neutral (common practice, no source)', () => {
    const [L, a, b] = labOf([0, 0, 0, 0]);
    expect(L).toBeGreaterThan(93);
    expect(L).toBeLessThan(97);
    expect(Math.abs(a)).toBeLessThan(2);
    expect(Math.abs(b)).toBeLessThan(5);
  });

  it('has inks of the hues that process inks have (ISO 12647-2 solids, hue angles from memory, within 15°)', () => {
    const hue = (inks: InkAreas): number => {
      const [, a, b] = labOf(inks);
      return (Math.atan2(b, a) * 180) / Math.PI + (b < 0 ? 360 : 0);
    };
    const solids: [InkAreas, number][] = [
      [[1, 0, 0, 0], 233],
      [[0, 1, 0, 0], 356],
      [[0, 0, 1, 0], 93],
      [[0, 1, 1, 0], 35],
      [[1, 0, 1, 0], 158],
      [[1, 1, 0, 0], 297],
    ];
    for (const [inks, degrees] of solids) expect(Math.abs(hue(inks) - degrees)).toBeLessThan(15);
  });
});

describe('the card’s nominal colours', () => {
  const byId = new Map(OWN_CARD.patches.map((p) => [p.id, p]));
  const labById = (id: string) => byId.get(id)?.lab as [number, number, number];

  it('come from the inks that the file states, in Lab, in spectrum and in the colour sent to the printer', () => {
    for (const patch of OWN_CARD.patches) {
      const spectrum = patch.spectrum as NonNullable<typeof patch.spectrum>;
      expect(spectrum.values).toHaveLength(36);
      const model = printReflectance(patch.print?.cmyk as unknown as InkAreas);
      spectrum.values.forEach((v, i) => {
        expect(Math.abs(v - model[i])).toBeLessThan(1e-4);
      });
      expect(
        deltaE2000(patch.lab as [number, number, number], labFromReflectance(toGrid(spectrum), D50)),
      ).toBeLessThan(0.02);
    }
  });

  it('step from paper to the blackest print in seven greys, evenly within 1 L*, chroma below 1', () => {
    const greys = ['N1', 'N2', 'N3', 'N4', 'N5', 'N6', 'N7'].map(labById);
    const step = (greys[0][0] - greys[6][0]) / 6;
    for (let i = 1; i < 7; i++) expect(Math.abs(greys[i - 1][0] - greys[i][0] - step)).toBeLessThan(1);
    for (const [, a, b] of greys) expect(Math.hypot(a, b)).toBeLessThan(1);
    expect(greys[6][0]).toBeLessThan(18);
  });

  it('spread over hue: no gap above 50° between the twelve hues, all pairs of colours 8 ΔE2000 apart', () => {
    const colours = OWN_CARD.patches.filter((p) => p.role === 'colour');
    expect(colours).toHaveLength(18);
    const hues = colours
      .filter((p) => !p.id.startsWith('H'))
      .map(({ lab }) => (Math.atan2(lab?.[2] as number, lab?.[1] as number) * 180) / Math.PI)
      .sort((a, b) => a - b);
    const gaps = hues.map((h, i) => (hues[(i + 1) % hues.length] - h + 360) % 360);
    expect(Math.max(...gaps)).toBeLessThan(50);
    for (const [i, a] of colours.entries())
      for (const b of colours.slice(i + 1))
        expect(deltaE2000(labById(a.id), labById(b.id)), `${a.id} ${b.id}`).toBeGreaterThan(8);
  });

  it('lie inside what an sRGB driver can ask for: none was clipped by more than the yellow’s 1 %', () => {
    for (const patch of OWN_CARD.patches) {
      const inks = patch.print?.cmyk as number[];
      const isAtEdge = patch.print?.srgb.some((v) => v === 0 || v === 255);
      if (isAtEdge)
        expect([
          'N1',
          'N7',
          'F2',
          'H2',
          ...OWN_CARD.patches.filter((p) => p.replicate_of === 'N1').map((p) => p.id),
        ]).toContain(patch.id);
      expect(inks.every((v) => v >= 0 && v <= 1)).toBe(true);
    }
  });

  it('state an honest doubt: greys 1.5, colours 2 to 2.5 ΔE2000', () => {
    for (const { role, u } of OWN_CARD.patches) expect(role === 'neutral' ? u : u / 1.53).toBeCloseTo(1.5, 1);
    expect(OWN_CARD.source).toBe('nominal');
  });
});
