import { describe, expect, it } from 'vitest';
import { type AdviseSettings, advise, PRICES } from '../../src/core/advise/index.ts';
import { ladderOf } from '../../src/core/advise/ladder.ts';
import { sameRatio, wholeRatios } from '../../src/core/advise/net.ts';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { type FilmFit, fitFilm } from '../../src/core/film/index.ts';
import { measured, simulateJob } from '../bench/film-simulator/jobs.ts';
import { outsideTarget } from '../bench/film-simulator/outside.ts';
import { dataOf } from '../bench/film-simulator/to-data.ts';
import { BARE, measuredPanel, recipe, shopData, truth, WALL } from '../film/shop.ts';

const names = {
  tint: (id: string) => id,
  ground: (id: string) => ({ g1: 'silver', g2: 'gold', g3: 'charcoal' })[id] ?? id,
  target: 'the lid',
};
const fitTo = (target: Lab, panels = WALL): FilmFit => fitFilm(shopData(panels, target));

describe('advice', () => {
  const goal = recipe([3, 1], 3, 1);
  const advice = advise(fitTo(truth(goal)), { names });

  it('finds a recipe that really comes close', () => {
    const [first] = advice.suggestions;
    const sprayed = truth({ ...first, parts: first.mix.parts, carrier: first.mix.carrier });
    expect(deltaE2000(sprayed, truth(goal))).toBeLessThan(0.8);
    expect(first.purpose).toBe('closer');
    expect(advice.now.de00).toBeGreaterThan(first.de00);
  });

  it('says the step in one line and the reason in one line', () => {
    for (const { words, why } of advice.suggestions)
      for (const line of [words, why]) {
        expect(line).toMatch(/^[A-Z].*\.$/);
        expect(line).not.toMatch(/\n|ΔE|posterior|variance|σ/);
      }
    expect(advice.suggestions[0].words).toMatch(/coat.*(gold).*about \d\.\d from the lid/);
  });

  it('keeps to whole parts, the limit on parts, whole coats and the grounds that may be used', () => {
    const { suggestions } = advise(fitTo(truth(goal)), {
      names,
      settings: { partsUpTo: 5, coatsUpTo: 4, grounds: ['g1'] },
    });
    for (const { mix, coats, ground } of suggestions) {
      const parts = Object.values(mix.parts);
      expect(parts.every(Number.isInteger)).toBe(true);
      expect(parts.reduce((a, b) => a + b, 0)).toBeLessThanOrEqual(5);
      expect(coats).toBeLessThanOrEqual(4);
      expect(ground).toBe('g1');
    }
  });

  it.each<[Partial<AdviseSettings>, string]>([
    [{ coatsUpTo: 2 }, '5:1'],
    [{ grounds: ['g1'] }, 'gold'],
    [{ carriers: [4] }, 'let down'],
  ])('says so when %j rules out the panel that came nearest, and does not advise it', (settings, told) => {
    const { suggestions, warnings } = advise(fitTo(truth(recipe([5, 1], 3, 1))), { names, settings });
    for (const { purpose, coats, ground, mix } of suggestions) {
      expect(purpose).not.toBe('keep');
      expect(coats).toBeLessThanOrEqual(settings.coatsUpTo ?? 8);
      expect(settings.grounds ?? [ground]).toContain(ground);
      expect(settings.carriers ?? [mix.carrier]).toContain(mix.carrier);
    }
    expect(warnings.find((w) => w.code === 'ruled-out')?.message).toContain(told);
  });

  it('a panel to learn from keeps to the limits too', () => {
    const few = [
      ...BARE,
      measuredPanel('p1', recipe([8, 1], 2, 0), [45, 40, 20]),
      measuredPanel('p2', recipe([1, 4], 3, 0), [52, 25, 45]),
    ];
    const coatsOfLearning = (settings: object): number[] =>
      [truth(goal), [30, 40, 15] as Lab, [45, 35, 45] as Lab]
        .flatMap((target) => advise(fitTo(target, few), { names, settings }).suggestions)
        .flatMap(({ purpose, coats }) => (purpose === 'learn' ? [coats] : []));
    expect(Math.max(...coatsOfLearning({}))).toBeGreaterThan(2);
    expect(Math.max(...coatsOfLearning({ coatsUpTo: 2 }))).toBeLessThanOrEqual(2);
    expect(coatsOfLearning({ coatsUpTo: 1 }).every((coats) => coats === 1)).toBe(true);
  });

  it('a new pot is paid for when carrier would have to come out of this one', () => {
    const without = { ...recipe([5, 1], 2, 1), carrier: 0 };
    const first = (newPot: number) =>
      advise(fitTo(truth(without)), {
        names,
        pot: { mix: { parts: { blue: 5, red: 1 }, carrier: 5 }, volume_ml: 210 },
        settings: { carriers: [0, 5], prices: { ...PRICES, newPot } },
      }).suggestions[0];
    expect(first(0).pot).toBeNull();
    expect(first(50).pot).not.toBeNull();
  });

  it('a high price on changing ground keeps the painter on it', () => {
    const prices = { addToPot: 0, newPot: 0, eachCoat: 0, changeGround: 50, changeLetdown: 0 };
    const fit = fitTo(truth(goal));
    const now = fit.data.panels.find((p) => p.id === advise(fit, { names }).now.panel);
    const { suggestions } = advise(fit, { names, settings: { prices } });
    expect(suggestions.every((s) => s.ground === now?.recipe.ground)).toBe(true);
  });

  it('on the target already, it stays', () => {
    const [first] = advise(fitTo(truth(recipe([5, 1], 3, 1))), { names }).suggestions;
    expect(first.purpose).toBe('keep');
    expect(sameRatio(first.mix.parts, { blue: 5, red: 1 })).toBe(true);
    expect([first.coats, first.ground]).toEqual([3, 'g2']);
  });

  it('with one panel it asks for the most telling one instead of a step nobody can support', () => {
    const few = [...BARE, measuredPanel('p1', recipe([5, 1], 3, 0))];
    const { suggestions, warnings } = advise(fitTo(truth(goal), few), { names });
    expect(suggestions[0].purpose).toBe('learn');
    expect(suggestions[0].words).toMatch(/to learn from/);
    expect(warnings.map((w) => w.code)).toContain('one-panel');
  });

  it('never offers the panel to learn from a second time as a step', () => {
    const few = [...BARE, measuredPanel('p1', recipe([5, 1], 3, 0))];
    for (const [ratio, coats] of [
      [[5, 1], 2],
      [[5, 1], 4],
      [[3, 1], 3],
    ] as const) {
      const { suggestions } = advise(fitTo(truth(recipe(ratio, coats, 1)), few), { names });
      const all = suggestions.map(({ mix, coats: c, ground }) => JSON.stringify([mix, c, ground]));
      expect(suggestions[0].purpose).toBe('learn');
      expect(all).toEqual([...new Set(all)]);
    }
  });

  it('names a letdown that changes, in a step and in a panel to learn from', () => {
    const steps = [...BARE, measuredPanel('p1', recipe([5, 1], 3, 0))];
    for (const panels of [steps, WALL]) {
      const [first] = advise(fitTo(truth(goal), panels), { names, settings: { carriers: [4] } }).suggestions;
      expect(first.purpose).toBe(panels === steps ? 'learn' : 'closer');
      expect(first.words).toMatch(/let (?:it )?down 4:1 instead of 5:1/);
    }
    const same = advise(fitTo(truth(goal), steps), { names, settings: { carriers: [5] } }).suggestions[0];
    expect(same.words).toMatch(/let down 5:1,/);
  });

  it('with one panel it does not call a target out of reach that other ratios may reach', () => {
    const few = [...BARE, measuredPanel('p1', recipe([5, 1], 3, 0))];
    const { reach, suggestions } = advise(fitTo(truth(recipe([1, 3], 3, 0)), few), { names });
    expect(reach.within).toBe(true);
    expect(suggestions[0].purpose).toBe('learn');
  });

  it('names tints without the word that all of them share', () => {
    const candies = { ...names, tint: (id: string) => `${id} candy` };
    const { suggestions } = advise(fitTo(truth(goal)), { names: candies });
    expect(suggestions[0].words).toMatch(/^Raise red from 5:1 to /);
  });

  it('says which way the target lies from the nearest panel', () => {
    const [first] = advise(fitTo(truth(recipe([5, 1], 4, 1))), { names }).suggestions;
    expect(first.why).toMatch(/^The nearest so far, \w+, is \d\.\d off: the lid is .*darker/);
  });

  it('says so by the tolerances of the job', () => {
    const fit = fitTo(truth(recipe([5, 1], 4, 1)));
    const why = (seen: number, accepted: number) =>
      advise(fit, { names, tolerances: { seen, accepted } }).suggestions[0].why;
    expect(why(0.05, 0.1)).toContain('much darker');
    expect(why(0.8, 1.8)).not.toContain('much darker');
  });

  it('says what to pour into the pot, or that a new one is needed', () => {
    const fit = fitTo(truth(goal));
    const mixed = advise(fit, {
      names,
      pot: { mix: { parts: { blue: 5, red: 1 }, carrier: 5 }, volume_ml: 210 },
    });
    const { pot, pot_words } = mixed.suggestions[0];
    expect(pot?.final_ml).toBeGreaterThanOrEqual(210);
    expect(pot_words).toMatch(/^(Add|The pot is right)/);
    const neat = advise(fit, {
      names,
      pot: { mix: { parts: { blue: 0, red: 1 }, carrier: 5 }, volume_ml: 210 },
      settings: { grounds: ['g1'], partsUpTo: 1 },
    });
    const started = neat.suggestions.find((s) => (s.mix.parts.red ?? 0) === 0);
    expect(started?.pot).toBeNull();
    expect(started?.pot_words).toMatch(/^Start a new pot/);
    const [without] = advise(fit, { names }).suggestions;
    expect(without.pot).toBeNull();
    expect(without.pot_words).toMatch(/no pot/);
  });

  it('refuses a pot of tints that the job does not have', () => {
    const pot = { mix: { parts: { blue: 5, rde: 1 }, carrier: 5 }, volume_ml: 210 };
    expect(() => advise(fitTo(truth(goal)), { names, pot })).toThrow(
      expect.objectContaining({ code: 'mix-invalid' }),
    );
  });

  it('gives every amount for the part of the pot that the cup has room for', () => {
    const held = { mix: { parts: { blue: 5, red: 1 }, carrier: 5 }, volume_ml: 210 };
    const reduced = WALL.map((p) => ({ ...p, recipe: { ...p.recipe, reducer_pct: 5 } }));
    const fit = fitTo(truth(goal), reduced);
    const [{ pot, mix, reducer_pct, pot_words }] = advise(fit, { names, pot: held, cup_ml: 100 }).suggestions;
    const { take_ml, add_ml, final_ml, reducer_ml, with_reducer_ml } = pot as NonNullable<typeof pot>;
    // a pot 5:1 let down 5:1 is five parts of 36 blue, one red, thirty carrier
    const poured = new Map(
      Object.entries({ blue: 5, red: 1, carrier: 30 }).map(([what, parts]) => [
        what,
        (take_ml * parts) / 36 + (add_ml[what] ?? 0),
      ]),
    );
    const [blue, red, carrier] = ['blue', 'red', 'carrier'].map((what) => poured.get(what) as number);
    expect(take_ml).toBeLessThan(100);
    expect(blue / red).toBeCloseTo(mix.parts.blue / mix.parts.red, 9);
    expect(carrier / (blue + red)).toBeCloseTo(mix.carrier, 9);
    expect(blue + red + carrier).toBeCloseTo(final_ml, 9);
    expect(reducer_ml).toBeCloseTo((final_ml * reducer_pct) / 100, 9);
    expect(with_reducer_ml).toBeCloseTo(100, 9);
    expect(pot_words).toContain(`start from ${Math.round(take_ml)} ml of the pot`);
    expect(pot_words).toContain(`${add_ml.carrier.toFixed(1)} ml of carrier`);
  });

  it('pours the reducer last, and the cup holds it too', () => {
    const pot = { mix: { parts: { blue: 5, red: 1 }, carrier: 5 }, volume_ml: 210 };
    const reduced = WALL.map((p) => ({ ...p, recipe: { ...p.recipe, reducer_pct: 5 } }));
    const fit = fitTo(truth(goal), reduced);
    const [mixed] = advise(fit, { names, pot }).suggestions;
    const { final_ml, reducer_ml, with_reducer_ml } = mixed.pot as NonNullable<typeof mixed.pot>;
    expect(reducer_ml).toBeCloseTo((final_ml * mixed.reducer_pct) / 100, 9);
    expect(mixed.reducer_pct).toBeGreaterThan(0);
    expect(with_reducer_ml).toBe(final_ml + reducer_ml);
    expect(mixed.pot_words).toContain(`${Math.round(with_reducer_ml)} ml in all`);
    const inCup = (cup_ml: number) => advise(fit, { names, pot, cup_ml }).suggestions[0];
    expect(inCup(final_ml + reducer_ml + 0.1).pot?.fits).toBe(true);
    expect(inCup(final_ml + reducer_ml - 0.1).pot?.fits).toBe(false);
    expect(inCup(final_ml).pot_words).toMatch(
      /^The cup is too small for all of it: start from .* of reducer\.$/,
    );
  });

  it('calls things by their names in the pot and in warnings too', () => {
    const candies = {
      ...names,
      tint: (id: string) => ({ blue: 'Lagoon candy', red: 'Garnet candy' })[id] ?? id,
    };
    const few = [
      ...BARE,
      measuredPanel('p1', recipe([5, 1], 3, 0)),
      measuredPanel('p2', recipe([4, 1], 3, 0)),
    ];
    const { suggestions, warnings } = advise(fitTo(truth(recipe([1, 3], 3, 0)), few), {
      names: candies,
      pot: { mix: { parts: { blue: 5, red: 1 }, carrier: 5 }, volume_ml: 210 },
    });
    const said = [
      ...suggestions.flatMap((s) => [s.words, s.why, s.pot_words ?? '']),
      ...warnings.map((w) => w.message),
    ];
    expect(said.join(' ')).not.toMatch(/\b(blue|red|g[123])\b/);
    expect(warnings.filter((w) => w.code === 'ratio-outside').length).toBeLessThanOrEqual(1);
  });

  it('with panels all alike it still answers, and asks for one that tells more', () => {
    const alike = Array.from({ length: 4 }, (_, i) => measuredPanel(`p${i}`, recipe([5, 1], 3, 0)));
    const { suggestions } = advise(fitTo(truth(goal), [...BARE, ...alike]), { names });
    expect(suggestions[0].purpose).toBe('learn');
    expect(Number.isFinite(suggestions[0].de00)).toBe(true);
  });

  it('of two panels of one recipe and two colours it trusts neither blindly: the answer stays open enough', () => {
    const twice = [...WALL, measuredPanel('again', recipe([5, 1], 3, 0), truth(recipe([5, 1], 5, 0)))];
    const fit = fitTo(truth(goal), twice);
    expect(fit.residuals.filter((r) => r.suspect).map((r) => r.id)).toEqual(['again']);
    expect(advise(fit, { names }).warnings.map((w) => w.code)).toContain('panel-disagrees');
  });

  it('a target out of reach is called so, with the direction that is missing', () => {
    // a green that blue and red over these grounds can't make
    const { reach, warnings, suggestions } = advise(fitTo([45, -45, 30]), { names });
    expect(reach.within).toBe(false);
    expect(reach.missing).toMatch(/greener|yellower|stronger/);
    expect(warnings.map((w) => w.code)).toContain('out-of-reach');
    expect(suggestions.length).toBeGreaterThan(0);
    expect(advice.reach.within).toBe(true);
  });

  it('calls targets of another shop’s paint out of reach', () => {
    let [called, of] = [0, 0];
    for (let j = 0; j < 8; j++) {
      const job = simulateJob('edges', 6, 800 + j, 0.6, 2);
      const target = outsideTarget(job, 'edges');
      if (!target) continue;
      of++;
      if (!advise(fitFilm(dataOf(job, measured(target, 0.6, job.rng))), { names }).reach.within) called++;
    }
    expect(called).toBe(of);
  });

  it('without a target there is nothing to come closer to', () => {
    expect(() => advise(fitFilm(shopData(WALL)), { names })).toThrow(
      expect.objectContaining({ code: 'no-target' }),
    );
  });
});

describe('ratios', () => {
  it('are whole parts in lowest terms, each once', () => {
    const ratios = wholeRatios(3, 12);
    expect(new Set(ratios.map(String)).size).toBe(ratios.length);
    expect(ratios.every((r) => r.reduce((a, b) => a + b, 0) <= 12)).toBe(true);
    expect(ratios.some((r) => String(r) === '2,2,2')).toBe(false);
    expect(ratios.some((r) => String(r) === '5,1,0')).toBe(true);
  });
  it('of many tints use three at once at most', () => {
    expect(wholeRatios(8, 6).every((r) => r.filter((p) => p > 0).length <= 3)).toBe(true);
  });
});

describe('the ladder', () => {
  it('shows what is advised as a cell of its own, let down as advised', () => {
    const fit = fitTo(truth(recipe([5, 1], 3, 1)));
    const next = { mix: { parts: { blue: 7, red: 4 }, carrier: 4 }, coats: 7, ground: 'g2' };
    const { sheets } = ladderOf(fit, names, next);
    const sheet = sheets[1];
    const [r, c] = sheet.next as readonly [number, number];
    expect([sheet.columns[c], sheet.coats[r]]).toEqual(['7:4', 7]);
    expect(sheet.subtitle).toBe('blue to red, let down 4:1');
    expect(sheets[0].next).toBeUndefined();
    expect([sheets[0].columns[0], sheets[0].columns.at(-1)]).toEqual(['blue alone', 'red alone']);
  });

  it('has a sheet for each measured ground, darkens downwards, and frames the nearest cell', () => {
    const fit = fitTo(truth(recipe([5, 1], 3, 1)));
    const { sheets } = ladderOf(fit, names);
    expect(sheets.map((s) => s.ground)).toEqual(['g1', 'g2', 'g3']);
    for (const { cells, columns, coats } of sheets) {
      expect(cells.length).toBe(coats.length);
      expect(cells[0].length).toBe(columns.length);
      for (let r = 1; r < cells.length; r++)
        cells[r].forEach((cell, c) => {
          expect(cell.lab[0]).toBeLessThan(cells[r - 1][c].lab[0]);
        });
    }
    const [r, c] = sheets[1].best as readonly [number, number];
    expect(sheets[1].cells[r][c].panels).toContain('p4');
  });
});
