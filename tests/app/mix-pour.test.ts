/** What is poured by the marks of a cup, into a pot and from nothing; panels that wait for their photo. */
import { describe, expect, it } from 'vitest';
import type { Job, JobPanel } from '../../shared/schemas/job.ts';
import { isRightByMarks, type PotPour, pouredBySheet, pourIntoPot } from '../../src/app/mix/pour.ts';
import { isSameRecipe, sprayedAndWaiting, waitingTwin } from '../../src/app/mix/same-recipe.ts';
import { emptyJob } from '../../src/app/store/find.ts';
import type { Recipe } from '../../src/core/film/index.ts';
import { mixingSheet, type Pot } from '../../src/core/mix/index.ts';

const recipe: Recipe = {
  ground: 'gold',
  parts: { garnet: 4, amber: 1 },
  carrier: 5,
  reducer_pct: 5,
  coats: 3,
  clear: true,
};
const pot = { mix: { parts: { garnet: 5, amber: 1 }, carrier: 5 }, volume_ml: 210 };

function poured(from: Pot = pot, goal = recipe, cup: Parameters<typeof pourIntoPot>[2] = {}): PotPour {
  const pour = pourIntoPot(from, goal, cup);
  if ('impossible' in pour) throw new Error(pour.impossible);
  return pour;
}
const ml = ({ lines }: PotPour, what: string): number => lines.find((l) => l.what === what)?.ml ?? 0;

describe('the pot', () => {
  it('gets its reducer too, as a share of all the paint that is in it then', () => {
    const pour = poured();
    // 29.17 ml garnet ask for 7.29 ml amber, and 36.46 ml of tints for 182.3 ml carrier
    expect(ml(pour, 'amber')).toBeCloseTo(7.29 - 5.83, 2);
    expect(ml(pour, 'carrier')).toBeCloseTo(182.29 - 175, 2);
    expect(pour.paint_ml).toBeCloseTo(218.75, 6);
    expect(ml(pour, 'reducer')).toBeCloseTo(0.05 * 218.75, 6);
    expect(pour.total_ml).toBeCloseTo(1.05 * 218.75, 6);
    expect(pour.lines.at(-1)?.what).toBe('reducer');
    expect(pour.poured).toBe(recipe);
  });

  it('that is right still gets the reducer', () => {
    const pour = poured({ mix: { parts: recipe.parts, carrier: 5 }, volume_ml: 100 });
    expect(pour.isRight).toBe(true);
    expect(pour.lines).toEqual([{ what: 'reducer', ml: expect.closeTo(5, 9) }]);
  });

  it('and its reducer do not overfill the cup', () => {
    const pour = poured(pot, recipe, { cup_ml: 150 });
    expect(pour.isWholePot).toBe(false);
    expect(pour.total_ml).toBeCloseTo(150, 6);
  });

  it('is poured to the marks, and says what mix that is', () => {
    const goal = { ...recipe, parts: { garnet: 2, amber: 1 } };
    const pour = poured(pot, goal, { marks_ml: 5 });
    // of 8.75 ml amber, 43.75 ml carrier and 13.1 ml reducer
    expect(pour.lines).toEqual([
      { what: 'amber', ml: 10 },
      { what: 'carrier', ml: 45 },
      { what: 'reducer', ml: 15 },
    ]);
    const { parts, carrier, reducer_pct } = pour.poured;
    expect(parts.garnet / parts.amber).toBeCloseTo(29.1667 / 15.8333, 2);
    expect(carrier).toBeCloseTo(220 / 45, 2);
    expect(reducer_pct).toBeCloseTo((100 * 15) / 265, 2);
    // then nothing more is asked for that the cup could not show
    const now = { mix: { parts, carrier }, volume_ml: pour.paint_ml };
    expect(isRightByMarks(now, goal, 5)).toBe(true);
    expect(isRightByMarks(now, { ...goal, parts: { garnet: 1, amber: 1 } }, 5)).toBe(false);
  });

  it('is not rounded where the marks would leave something out, and this is told', () => {
    const pour = poured(pot, recipe, { marks_ml: 5 });
    expect(pour.tooFine?.what).toBe('amber');
    expect(pour.lines).toEqual(poured().lines);
    expect(pour.poured).toBe(recipe);
  });
});

describe('a sheet by the marks', () => {
  const sheetOf = (volume_ml: number, graduation_ml?: number) =>
    mixingSheet({
      mix: { parts: recipe.parts, carrier: recipe.carrier },
      reducer_pct: recipe.reducer_pct,
      amount: { volume_ml },
      graduation_ml,
    });

  it('is the recipe of its rounded amounts, in whole parts', () => {
    // 29.2 : 7.3 : 182.3 and 10.9 ml reducer become 30 : 5 : 180 and 10
    expect(pouredBySheet(recipe, sheetOf(229.6875, 5), 5)).toEqual({
      ...recipe,
      parts: { garnet: 6, amber: 1 },
      carrier: 5.143,
      reducer_pct: 4.65,
    });
  });

  it('is the recipe itself where nothing is rounded', () => {
    expect(pouredBySheet(recipe, sheetOf(230), undefined)).toBe(recipe);
    expect(pouredBySheet(recipe, sheetOf(315, 5), 5)).toBe(recipe);
  });
});

describe('a sprayed panel that waits for its photo', () => {
  const panel: JobPanel = {
    id: 'p1',
    ground: 'gold',
    mix: { parts: { garnet: 8, amber: 2, other: 0 }, carrier: 5 },
    reducer_pct: 5,
    coats: 3,
    clear: true,
    measured: [],
  };
  const withPanel = (change: Partial<JobPanel>): Job => ({
    ...emptyJob('Bench'),
    panels: [{ ...panel, ...change }],
  });

  it('is known by its recipe, whatever the parts are multiplied by', () => {
    expect(waitingTwin(withPanel({}), [recipe])?.id).toBe('p1');
    expect(isSameRecipe(recipe, { ...recipe, coats: 4 })).toBe(false);
    expect(waitingTwin(withPanel({ coats: 4 }), [recipe])).toBeUndefined();
  });

  it('waits no more once it is measured or set aside; a bare ground was not sprayed', () => {
    expect(sprayedAndWaiting(withPanel({}))).toHaveLength(1);
    for (const change of [
      { measured: [{ lab: [50, 40, 30] as [number, number, number] }] },
      { set_aside: true },
      { coats: 0 },
    ])
      expect(sprayedAndWaiting(withPanel(change))).toEqual([]);
  });
});
