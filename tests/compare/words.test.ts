import { describe, expect, it } from 'vitest';
import type { Lab } from '../../src/core/color/index.ts';
import { comparePanels } from '../../src/core/compare/index.ts';
import { ensembleOf } from './ensembles.ts';

function words(a: Lab, b: Lab, own = 0.05, tolerances?: { seen: number; accepted: number }): string {
  return comparePanels(ensembleOf({ a, b }, { own }), { tolerances }).pairs[0].words;
}

describe('words for a difference', () => {
  it('the same panel twice: no difference seen', () => {
    expect(words([34, 44, 24], [34, 44, 24])).toBe('no difference seen');
  });

  it('says the larger difference first and leaves the small ones out', () => {
    expect(words([38, 44.2, 24.1], [34, 44, 24])).toMatch(/^lighter; you would see this side by side/);
    expect(words([37, 44, 29], [34, 44, 24])).toMatch(/^(lighter, yellower|yellower, lighter);/);
  });

  it('calls a weak difference a little, a strong one much', () => {
    expect(words([34.6, 44, 24], [34, 44, 24])).toMatch(/^a little lighter;/);
    expect(words([44, 44, 24], [34, 44, 24])).toMatch(/^much lighter;/);
  });

  it('stays silent about directions it is not sure of', () => {
    expect(words([34.5, 44.5, 24], [34, 44, 24], 1.2)).toMatch(/^no difference seen/);
  });

  it('says what cannot be ruled out when the photo is poor', () => {
    expect(words([34, 44, 24], [34, 44, 24], 1.5)).toMatch(
      /^no difference seen, but one of up to \d\.\d can't be ruled out$/,
    );
  });

  it('says when one might just see it, and when one would', () => {
    expect(words([34.4, 44, 24], [34, 44, 24], 0.05)).toMatch(/you would not see this side by side$/);
    expect(words([35, 44, 24], [34, 44, 24], 0.2)).toMatch(
      /you might just see this side by side, close enough/,
    );
    expect(words([35.6, 44, 24], [34, 44, 24], 0.05)).toMatch(
      /you would see this side by side, close enough to accept$/,
    );
    expect(words([36.2, 44, 24], [34, 44, 24], 0.2)).toMatch(/perhaps still close enough to accept$/);
    expect(words([38, 44, 24], [34, 44, 24], 0.1)).toMatch(/too far off to accept$/);
    expect(words([36.2, 44, 24], [34, 44, 24], 0.5)).toMatch(/measure again before you decide$/);
  });

  it('measures by the painter’s own tolerances', () => {
    expect(words([34.4, 44, 24], [34, 44, 24], 0.02, { seen: 0.1, accepted: 0.2 })).toMatch(
      /too far off to accept$/,
    );
  });

  // common practice, no source: what each hue is said to lean to
  it.each<[string, Lab, Lab]>([
    ['yellower', [40, 40, 20], [40, 42, 12]],
    ['bluer', [40, 42, 4], [40, 42, 12]],
    ['redder', [60, 45, 50], [60, 38, 55]],
    ['yellower', [60, 30, 60], [60, 38, 55]],
    ['greener', [75, -5, 70], [75, 5, 70]],
    ['redder', [75, 12, 69], [75, 5, 70]],
    ['yellower', [50, -35, 25], [50, -40, 15]],
    ['bluer', [50, -40, 4], [50, -40, 15]],
    ['greener', [40, -20, -30], [40, -12, -35]],
    ['more violet', [40, 2, -37], [40, -12, -35]],
    ['redder', [35, 35, -28], [35, 25, -38]],
    ['bluer', [35, 16, -42], [35, 25, -38]],
  ])('a turn of hue is called %s', (word, a, b) => {
    expect(words(a, b)).toMatch(new RegExp(`(^|, |little |much )${word}[,;]`));
  });

  it('greys lean, they have no hue to turn', () => {
    expect(words([60, 3, 0], [60, 0, 0])).toMatch(/^redder;/);
    expect(words([60, 0, -3], [60, 0, 0])).toMatch(/^bluer;/);
    expect(words([60, -3, 0], [60, 0, 0])).toMatch(/^greener;/);
  });

  it('no panel is called stronger whose C* is less', () => {
    // ΔE2000 stretches a* near grey: C′ is 7.6 against 6.9 here, C* 5.2 against 6.1
    expect(words([39.94, 4.94, 1.56], [38.37, 2.88, 5.38])).not.toMatch(/stronger|duller/);
  });

  it('turned round, the words turn round', () => {
    expect(words([38, 37, 20.2], [34, 44, 24])).toMatch(/^lighter, duller;/);
    expect(words([34, 44, 24], [38, 37, 20.2])).toMatch(/^darker, stronger;/);
  });

  it('a cleared and an uncleared panel are not compared without a warning', () => {
    const { pairs, warnings } = comparePanels(ensembleOf({ a: [34, 44, 24], b: [38, 40, 24] }), {
      cleared: new Map([
        ['a', true],
        ['b', false],
      ]),
    });
    expect(pairs[0].words).toMatch(/one is cleared and the other is not/);
    expect(warnings.map((w) => w.code)).toEqual(['cleared-and-uncleared']);
    const both = new Map([
      ['a', true],
      ['b', true],
    ]);
    expect(
      comparePanels(ensembleOf({ a: [34, 44, 24], b: [38, 40, 24] }), { cleared: both }).warnings,
    ).toEqual([]);
  });

  it('repeats why a panel’s colour is in doubt', () => {
    const { pairs } = comparePanels(ensembleOf({ a: [34, 44, 24], b: [38, 40, 24] }), {
      doubts: new Map([['b', 'its photos disagree']]),
    });
    expect(pairs[0].words).toMatch(/; b: its photos disagree$/);
  });
});
