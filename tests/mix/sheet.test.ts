import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SprayoutError } from '../../src/core/errors.ts';
import { mixingSheet, PRACTICE, parsePractice, volumeFor } from '../../src/core/mix/index.ts';

const mix = { parts: { garnet: 5, amber: 1 }, carrier: 5 };
const codes = (w: readonly { code: string }[]): string[] => w.map((x) => x.code);

describe('the mixing sheet', () => {
  it('keeps ratio, letdown, reduction and volume', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 12 }),
        fc.integer({ min: 1, max: 12 }),
        fc.double({ min: 0.1, max: 10, noNaN: true }),
        fc.double({ min: 0, max: 20, noNaN: true }),
        (a, b, carrier, reducer_pct) => {
          const s = mixingSheet({
            mix: { parts: { a, b }, carrier },
            reducer_pct,
            amount: { volume_ml: 200 },
          });
          const ml = (what: string): number => s.lines.find((l) => l.what === what)?.ml ?? 0;
          expect(ml('a') / ml('b')).toBeCloseTo(a / b, 9);
          expect(ml('carrier') / (ml('a') + ml('b'))).toBeCloseTo(carrier, 9);
          expect((100 * ml('reducer')) / (200 - ml('reducer'))).toBeCloseTo(reducer_pct, 9);
          expect(s.total_ml).toBeCloseTo(200, 9);
        },
      ),
    );
  });

  it('takes coats × area × what a coat takes for so many panels', () => {
    expect(volumeFor(4, 3, 150)).toBeCloseTo((4 * 3 * 150 * PRACTICE.coat_ml_per_m2) / 10_000, 12);
    const s = mixingSheet({ mix, reducer_pct: 0, amount: { panels: 4, coats: 3, panel_cm2: 150 } });
    expect(s.total_ml).toBeCloseTo(volumeFor(4, 3, 150), 9);
  });

  it('rounds to the marks of the cup and says what is then really poured', () => {
    const s = mixingSheet({ mix, reducer_pct: 0, amount: { volume_ml: 50 }, graduation_ml: 1 });
    expect(s.lines.every((l) => Number.isInteger(l.ml) && Math.abs(l.ml - l.exact_ml) <= 0.5)).toBe(true);
    expect(s.poured.parts).toEqual({ amber: 1, garnet: 7 });
  });

  it('refuses to round a tint away', () => {
    expect(() => mixingSheet({ mix, reducer_pct: 0, amount: { volume_ml: 10 }, graduation_ml: 5 })).toThrow(
      /less than half a mark/,
    );
  });

  // the limits below: common practice, no source
  it.each([
    [5, []],
    [12, ['reducer-high']],
    [25, ['reducer-breaks-film']],
  ])('with %d %% reducer it warns of %j', (reducer_pct, expected) => {
    expect(codes(mixingSheet({ mix, reducer_pct, amount: { volume_ml: 100 } }).warnings)).toEqual(expected);
  });

  it('warns of an effect coat with too much carrier or too many coats', () => {
    const s = mixingSheet({
      mix,
      reducer_pct: 0,
      effect: true,
      amount: { panels: 1, coats: 4, panel_cm2: 100 },
    });
    expect(codes(s.warnings)).toEqual(['effect-carrier', 'effect-coats']);
  });

  it("warns when the cup doesn't hold it", () => {
    expect(
      codes(mixingSheet({ mix, reducer_pct: 0, amount: { volume_ml: 300 }, cup_ml: 200 }).warnings),
    ).toEqual(['cup-too-small']);
  });

  it("takes a painter's own figures and names one it doesn't know", () => {
    const own = parsePractice({ reducer_cutoff_pct: 15 }, 'mine.json');
    expect(
      codes(mixingSheet({ mix, reducer_pct: 12, amount: { volume_ml: 100 }, practice: own }).warnings),
    ).toEqual([]);
    expect(() => parsePractice({ reducer: 15 }, 'mine.json')).toThrow(/mine\.json/);
  });

  it.each([
    [{ volume_ml: 0 }],
    [{ volume_ml: Number.NaN }],
    [{ panels: 0, coats: 3, panel_cm2: 100 }],
    [{ panels: 2, coats: 1.5, panel_cm2: 100 }],
    [{ panels: 2, coats: 3, panel_cm2: -1 }],
  ])('refuses the amount %j', (amount) => {
    expect(() => mixingSheet({ mix, reducer_pct: 0, amount })).toThrow(SprayoutError);
  });
});
