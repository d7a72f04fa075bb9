import { describe, expect, it } from 'vitest';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { deltaE2000, type Lab, labFromReflectance, viewing } from '../../src/core/color/index.ts';
import { patchSpectrum } from '../../src/core/correction/patch-spectra.ts';
import { pressOn, printed, separated, USUAL_PRESS } from '../../src/core/correction/press.ts';

const D50 = viewing('D50/2');
const stated = OWN_CARD.patches.map((p) => patchSpectrum(p, D50));
const paper = stated[OWN_CARD.patches.findIndex((p) => p.id === 'N1')].reflectance;
const usual = pressOn(paper, USUAL_PRESS);
const labOf = (r: Float64Array): Lab => labFromReflectance(r, D50);

describe('a press of four process inks', () => {
  it('prints three quarters of a card’s colours about as stated', () => {
    const off = stated.map(({ lab }) => deltaE2000(labOf(printed(usual, separated(usual, lab, D50))), lab));
    expect(off.filter((d) => d < 1).length / off.length).toBeGreaterThan(0.75);
  });

  // Murray and Davies: the increase is of dots' areas, so that paper and solids have none
  it('darkens half tones where dots grow, and neither paper nor solids', () => {
    const grown = pressOn(paper, { ...USUAL_PRESS, gain: USUAL_PRESS.gain.map((g) => g + 0.04) });
    const change = (k: number) => {
      const coverage = [k, k, k, 0];
      return labOf(printed(grown, coverage))[0] - labOf(printed(usual, coverage))[0];
    };
    expect(change(0)).toBeCloseTo(0, 9);
    expect(change(1)).toBeCloseTo(0, 9);
    expect(change(0.5)).toBeLessThan(-1.5);
  });

  it('darkens solids where there is more ink', () => {
    const stronger = pressOn(paper, { ...USUAL_PRESS, strength: USUAL_PRESS.strength.map((s) => 1.1 * s) });
    const solid = [0, 1, 1, 0];
    expect(labOf(printed(stronger, solid))[0]).toBeLessThan(labOf(printed(usual, solid))[0] - 0.3);
  });
});
