import { describe, expect, test } from 'vitest';
import { printCards } from '../../samples/scene/card.ts';
import { bendTo, makeStock, printer, separate } from '../../samples/scene/print.ts';
import { randomOf } from '../../samples/scene/random.ts';
import { de00, labD50, type Triple } from '../../samples/scene/spectral.ts';
import { readCard } from './bench.ts';

const card = readCard('sprayout-a6');
const strip = readCard('sprayout-strip-1');

describe('the printed card of a scene', () => {
  test('bare paper is light and near neutral, full black dark, as on matt paper (common practice, no source)', () => {
    for (let seed = 0; seed < 20; seed++) {
      const print = printer(makeStock(randomOf(seed, 'stock')));
      const paper = labD50(print([0, 0, 0, 0]));
      const black = labD50(print([0.5, 0.4, 0.45, 1]));
      expect(paper[0]).toBeGreaterThan(92);
      expect(Math.hypot(paper[1], paper[2])).toBeLessThan(4);
      expect(black[0]).toBeLessThan(27);
      expect(Math.hypot(black[1], black[2])).toBeLessThan(8);
    }
  });

  test('a colour inside the print’s reach is separated to within half a ΔE', () => {
    const print = printer(makeStock(randomOf(3, 'stock')));
    const wanted: Triple[] = [
      [60, 0, 0],
      [55, 30, 25],
      [65, -25, 10],
      [50, 5, -30],
    ];
    for (const lab of wanted) expect(de00(labD50(separate(print, lab, 0.5).spectrum), lab)).toBeLessThan(0.5);
  });

  test('bending a spectrum lands on the wanted Lab', () => {
    const spectrum = printer(makeStock(randomOf(4, 'stock')))([0.2, 0.6, 0.5, 0.1]);
    const lab: Triple = [48, 30, 12];
    const bend = bendTo(spectrum, lab);
    expect(de00(labD50(spectrum.map((v, i) => v * Math.exp(bend[i]))), lab)).toBeLessThan(0.01);
  });

  test('a nominal card is handed as it is and printed off by what was asked for', () => {
    for (const off_de00 of [1, 2, 3]) {
      const [printed] = printCards([card], 11, { tier: 'nominal', off_de00 });
      expect(printed.definition.patches).toEqual(card.patches);
      expect(printed.off_de00).toBeGreaterThan(0.95 * off_de00);
      expect(printed.off_de00).toBeLessThan(1.05 * off_de00);
    }
  });

  test('a measured card’s readings differ from the print by the stated uncertainty', () => {
    const offs: number[] = [];
    for (let seed = 0; seed < 12; seed++) {
      const [printed] = printCards([card, strip], seed, { tier: 'measured' });
      const u = printed.definition.patches[0].u;
      expect(u).toBeGreaterThanOrEqual(0.3);
      expect(u).toBeLessThanOrEqual(0.5);
      offs.push(printed.off_de00 / u);
    }
    const mean = offs.reduce((a, b) => a + b, 0) / offs.length;
    expect(mean).toBeGreaterThan(0.85);
    expect(mean).toBeLessThan(1.15);
  });

  test('the strip is printed with the card: its white is the card’s white but for the unevenness of print', () => {
    const [a, b] = printCards([card, strip], 5, { tier: 'nominal' });
    const white = (of: typeof a): Triple => {
      const i = of.definition.patches.findIndex((p) => p.replicate_of === 'N1');
      return labD50(of.spectra[i]);
    };
    expect(de00(white(a), white(b))).toBeLessThan(0.6);
  });
});
