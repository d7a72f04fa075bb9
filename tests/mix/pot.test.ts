import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SprayoutError } from '../../src/core/errors.ts';
import {
  amountsIn,
  CARRIER,
  correctPot,
  type Pot,
  type PotCorrection,
  type PotMix,
} from '../../src/core/mix/index.ts';

const TINTS = ['garnet', 'amber', 'smoke', 'teal'] as const;
const amount = fc.oneof(
  fc.constant(0),
  fc.double({ min: 0.01, max: 100, noNaN: true }),
  fc.integer({ min: 1, max: 12 }),
);
const mix: fc.Arbitrary<PotMix> = fc
  .record({ amounts: fc.array(amount, { minLength: 4, maxLength: 4 }), carrier: amount })
  .filter(({ amounts }) => amounts.some((a) => a > 0))
  .map(({ amounts, carrier }) => ({
    parts: Object.fromEntries(TINTS.map((t, i) => [t, amounts[i]])),
    carrier,
  }));
const pot: fc.Arbitrary<Pot> = fc.record({ mix, volume_ml: fc.double({ min: 0.5, max: 5000, noNaN: true }) });

const total = (m: PotMix): number => Object.values(m.parts).reduce((a, b) => a + b, 0);

/** The pot after pouring. */
function poured(from: Pot, { additions }: PotCorrection): Map<string, number> {
  const out = amountsIn(from);
  for (const { what, ml } of additions) out.set(what, (out.get(what) ?? 0) + ml);
  return out;
}

describe('correcting a pot', () => {
  it('reaches the ratio and the letdown of the goal to 1e-9, whatever the pot', () => {
    fc.assert(
      fc.property(pot, mix, (from, goal) => {
        const answer = correctPot(from, goal);
        if ('impossible' in answer) return;
        const after = poured(from, answer);
        const tints = TINTS.map((t) => after.get(t) ?? 0);
        const all = tints.reduce((a, b) => a + b, 0);
        TINTS.forEach((t, i) => {
          expect(Math.abs(tints[i] / all - goal.parts[t] / total(goal))).toBeLessThan(1e-9);
        });
        const letdown = (after.get(CARRIER) ?? 0) / all;
        expect(Math.abs(letdown - goal.carrier)).toBeLessThan(1e-9 * (1 + goal.carrier));
        const sum = [...after.values()].reduce((a, b) => a + b, 0);
        expect(Math.abs(sum - answer.final_ml)).toBeLessThan(1e-9 * answer.final_ml);
      }),
      { numRuns: 500 },
    );
  });

  it('never takes anything out, and pours the smallest amount first', () => {
    fc.assert(
      fc.property(pot, mix, (from, goal) => {
        const answer = correctPot(from, goal);
        if ('impossible' in answer) return;
        const amounts = answer.additions.map((a) => a.ml);
        expect(amounts.every((ml) => ml > 0)).toBe(true);
        expect(amounts).toEqual([...amounts].sort((a, b) => a - b));
      }),
    );
  });

  it('adds no more than it must: something in the pot is not added to', () => {
    fc.assert(
      fc.property(pot, mix, (from, goal) => {
        const answer = correctPot(from, goal);
        if ('impossible' in answer) return;
        const present = [...amountsIn(from).keys()];
        expect(present.some((what) => !answer.additions.some((a) => a.what === what))).toBe(true);
      }),
    );
  });

  it('is impossible exactly when the pot holds something that the goal has none of', () => {
    fc.assert(
      fc.property(pot, mix, (from, goal) => {
        const stuck =
          TINTS.some((t) => from.mix.parts[t] > 0 && goal.parts[t] === 0) ||
          (from.mix.carrier > 0 && goal.carrier === 0);
        expect('impossible' in correctPot(from, goal)).toBe(stuck);
      }),
      { numRuns: 500 },
    );
  });

  it('works the example by hand: 210 ml of 5:1 let down 5:1 becomes 3:1 with 35/3 ml of the minor tint and carrier', () => {
    // 210 ml hold 35 ml of mix (29.17 and 5.83) and 175 ml of carrier; 3:1 needs 9.72 ml of the minor tint
    const answer = correctPot(
      { mix: { parts: { garnet: 5, amber: 1 }, carrier: 5 }, volume_ml: 210 },
      { parts: { garnet: 3, amber: 1 }, carrier: 5 },
    ) as PotCorrection;
    expect(answer.additions.map((a) => a.what)).toEqual(['amber', CARRIER]);
    expect(answer.additions[0].ml).toBeCloseTo(175 / 6 / 3 - 35 / 6, 9);
    expect(answer.additions[1].ml).toBeCloseTo(5 * (175 / 6 / 3 - 35 / 6), 9);
  });

  it('starts from part of the pot when the cup is too small, and then just fills the cup', () => {
    const from = { mix: { parts: { garnet: 5, amber: 1 }, carrier: 5 }, volume_ml: 210 };
    const answer = correctPot(
      from,
      { parts: { garnet: 1, amber: 1 }, carrier: 5 },
      { cup_ml: 100 },
    ) as PotCorrection;
    expect(answer.fits).toBe(false);
    const part = correctPot(
      { ...from, volume_ml: answer.take_ml },
      { parts: { garnet: 1, amber: 1 }, carrier: 5 },
    );
    expect((part as PotCorrection).final_ml).toBeCloseTo(100, 9);
  });

  it('gives grams where a density is known', () => {
    const answer = correctPot(
      { mix: { parts: { garnet: 1 }, carrier: 0 }, volume_ml: 10 },
      { parts: { garnet: 1, amber: 1 }, carrier: 0 },
      { densities: { amber: 0.9 } },
    ) as PotCorrection;
    expect(answer.additions[0].g).toBeCloseTo(9, 9);
  });

  it.each([
    ['no parts', { parts: { garnet: 0 }, carrier: 1 }],
    ['negative parts', { parts: { garnet: -1, amber: 3 }, carrier: 1 }],
    ['parts that are no number', { parts: { garnet: Number.NaN }, carrier: 1 }],
    ['negative carrier', { parts: { garnet: 1 }, carrier: -2 }],
  ])('refuses a goal with %s', (_, goal) => {
    const good = { parts: { garnet: 1 }, carrier: 1 };
    expect(() => correctPot({ mix: good, volume_ml: 10 }, goal)).toThrow(SprayoutError);
    expect(() => correctPot({ mix: goal, volume_ml: 10 }, good)).toThrow(SprayoutError);
  });
});
