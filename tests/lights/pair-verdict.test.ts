import { describe, expect, it } from 'vitest';
import type { Lab } from '../../src/core/color/index.ts';
import { DEFAULT_TOLERANCES } from '../../src/core/compare/index.ts';
import { judgePair } from '../../src/core/lights/index.ts';

const DRAWS = 400;
const GREY: Lab = [60, 0, 0];

/** A grey pair in two lights: alike in the first, apart in L* in the second, by evenly spread draws of a mean and a width. */
function greyPair(apart: number, width: number) {
  const same = Float64Array.from({ length: 3 * DRAWS }, (_, i) => GREY[i % 3]);
  const moved = same.map((v, i) =>
    i % 3 === 0 ? v + apart + width * ((Math.floor(i / 3) + 0.5) / DRAWS - 0.5) : v,
  );
  return [
    { light: 'sun', a: GREY, b: GREY, drawsA: same, drawsB: same },
    { light: 'shop', a: [GREY[0] + apart, 0, 0] as Lab, b: GREY, drawsA: moved, drawsB: same },
  ];
}

// ΔE2000 weighs L* near 60 by S_L = 1.1 (CIE 142-2001): .8 is seen from a change of about .9
const verdictOf = (apart: number, width: number, sameTints: boolean) =>
  judgePair(greyPair(apart, width), DEFAULT_TOLERANCES, { sameTints });

describe('a pair that looks the same in one light', () => {
  it('parts where another light surely shows more than is seen side by side', () => {
    const judged = verdictOf(2, 1, true);
    expect([judged.verdict, judged.chance, judged.between]).toEqual(['parts', 1, [0, 1]]);
  });

  it('parts only where no change at all is ruled out when it is of one paint', () => {
    // 2.3 standard deviations from none, under the 2.8 of χ² with three degrees of freedom at 95 %
    expect(verdictOf(4, 6, true).verdict).toBe('unsure');
    expect(verdictOf(4, 6, true).chance).toBeGreaterThan(0.88);
    expect(verdictOf(4, 6, false).verdict).toBe('parts');
  });

  it('is left open where that is no more than likely', () => {
    const likely = verdictOf(1.2, 1.2, true);
    expect(likely.chance).toBeGreaterThan(0.7);
    expect(likely.chance).toBeLessThan(0.85);
    expect(likely.verdict).toBe('unsure');
  });

  it('holds where it is unlikely, and is left open in between when the paints are of other tints', () => {
    expect(verdictOf(0.3, 0.5, false).verdict).toBe('holds');
    const open = verdictOf(0.7, 1.2, false);
    expect(open.chance).toBeGreaterThan(0.25);
    expect(open.chance).toBeLessThan(0.45);
    expect(open.verdict).toBe('unsure');
    expect(verdictOf(0.7, 1.2, true).verdict).toBe('holds');
  });

  it('is not judged by two photos of one light', () => {
    const twice = greyPair(2, 1).map((photo) => ({ ...photo, light: 'sun' }));
    const judged = judgePair(twice, DEFAULT_TOLERANCES, { sameTints: true });
    expect([judged.verdict, judged.between, judged.inLights.length]).toEqual(['unsure', undefined, 2]);
  });

  it('is not judged in one light alone', () => {
    expect(judgePair(greyPair(0, 1).slice(0, 1), DEFAULT_TOLERANCES, { sameTints: true }).verdict).toBe(
      'unsure',
    );
  });
});
