import { describe, expect, it } from 'vitest';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { comparePanels, DEFAULT_TOLERANCES } from '../../src/core/compare/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { ensembleOf, normalDraws } from './ensembles.ts';

const LID: Lab = [34, 44, 24];

describe('comparing panels', () => {
  const colours = ensembleOf({ p1: [36, 42, 25], p2: LID, p3: [30, 47, 20], target: LID });
  const comparison = comparePanels(colours);

  it('compares every panel with every other once, and each with the target', () => {
    expect(comparison.pairs.map((p) => `${p.a}-${p.b}`)).toEqual(['p1-p2', 'p1-p3', 'p2-p3']);
    expect(comparison.target.map((t) => t.panel)).toEqual(['p1', 'p2', 'p3']);
  });

  it('reports the CIEDE2000 of the centres, first minus second', () => {
    const [pair] = comparison.pairs;
    expect(pair.de00).toBeCloseTo(deltaE2000([36, 42, 25], LID), 9);
    expect(pair.dL).toBeCloseTo(2, 9);
    expect(pair.dC).toBeCloseTo(Math.hypot(42, 25) - Math.hypot(44, 24), 9);
  });

  it('has no target row when the job has none', () => {
    expect(comparePanels(ensembleOf({ a: LID, b: [40, 30, 20] })).target).toEqual([]);
  });

  it('an error that two panels of one photo share does not blur their difference', () => {
    const width = (shared: number): number => {
      const { pairs } = comparePanels(ensembleOf({ a: LID, b: [36, 44, 24] }, { own: 0.2, shared }));
      return pairs[0].interval95[1] - pairs[0].interval95[0];
    };
    expect(width(3)).toBeLessThan(1.15 * width(0));
  });

  it('says how sure lightness, chroma and hue of a difference are, and an error that both share cancels there too', () => {
    const own = 0.2;
    const { pairs } = comparePanels(ensembleOf({ a: LID, b: [36, 44, 24] }, { own, shared: 3 }));
    // two independent errors of one spread: 1.96 √2 of it (normal errors; common practice of statistics)
    for (const half of pairs[0].u95) expect(half / (1.96 * Math.SQRT2 * own)).toBeCloseTo(1, 0);
  });

  it('an interval always holds the difference it belongs to', () => {
    const random = seededRandom(7);
    for (let i = 0; i < 200; i++) {
      const far = 3 * random.uniform();
      const b: Lab = [34 + far * random.normal(), 44 + far * random.normal(), 24];
      const { pairs } = comparePanels(ensembleOf({ a: LID, b }, { seed: i, count: 64, own: 1 }));
      const [low, high] = pairs[0].interval95;
      expect(low).toBeGreaterThanOrEqual(0);
      expect(low).toBeLessThanOrEqual(pairs[0].de00);
      expect(high).toBeGreaterThanOrEqual(pairs[0].de00);
    }
  });

  it('an interval follows the draws where their mean lies beside the best single answer', () => {
    const draws = ensembleOf({ a: LID, b: [37, 44, 24] }, { own: 0.3 });
    const { pairs } = comparePanels({ ...draws, lab: [LID, [34.4, 44, 24]] });
    const [low, high] = pairs[0].interval95;
    expect(low).toBeLessThanOrEqual(pairs[0].de00);
    expect(high).toBeGreaterThan(deltaE2000(LID, [37, 44, 24]));
    expect(high).toBeLessThan(deltaE2000(LID, [38, 44, 24]));
  });

  it('an interval holds the truth where one axis is known far better than another', () => {
    const sd = [0.2, 0.5, 3.5];
    const truth: Lab = [LID[0] + 1.2, LID[1], LID[2] + 2];
    const random = seededRandom(11);
    const photos = 300;
    let held = 0;
    for (let photo = 0; photo < photos; photo++) {
      const seen = truth.map((v, a) => v + sd[a] * random.normal()) as unknown as Lab;
      const { draws, ...ensemble } = ensembleOf({ a: seen, b: LID }, { own: 1, seed: photo });
      const drawn = draws.map((v, k) => {
        const at = k % 6;
        return at < 3 ? seen[at] + sd[at] * (v - seen[at]) : LID[at - 3];
      });
      const [low, high] = comparePanels({ ...ensemble, draws: drawn }).pairs[0].interval95;
      const apart = deltaE2000(truth, LID);
      if (low <= apart && apart <= high) held++;
    }
    expect(held / photos).toBeGreaterThan(0.92);
  });

  it('a grey far from a colour has no more doubt than the two of them', () => {
    const { pairs } = comparePanels(
      ensembleOf({ silver: [72, -0.3, -1.5], gold: [67.5, 0.6, 22] }, { own: 0.8 }),
    );
    const [low, high] = pairs[0].interval95;
    expect(pairs[0].de00 - low).toBeLessThan(2.5);
    expect(high - pairs[0].de00).toBeLessThan(2.5);
  });

  it('gives the half-widths of each panel’s own intervals', () => {
    const { panels } = comparePanels(ensembleOf({ a: LID }, { own: 0.5, count: 20_000 }));
    for (const u of panels[0].u95) expect(Math.abs(u - 1.96 * 0.5)).toBeLessThan(0.02);
  });

  it('a single draw means no stated doubt, and does not fail', () => {
    const { pairs } = comparePanels(ensembleOf({ a: LID, b: [35, 44, 24] }, { count: 1, own: 0 }));
    expect(pairs[0].interval95[0]).toBeCloseTo(pairs[0].de00, 9);
    expect(pairs[0].interval95[1]).toBeCloseTo(pairs[0].de00, 9);
  });

  it('refuses arrays that do not fit together, and values that are not numbers', () => {
    const sound = ensembleOf({ a: LID, b: LID });
    expect(() => comparePanels({ ...sound, draws: sound.draws.slice(3) })).toThrow(RangeError);
    expect(() => comparePanels({ ...sound, lab: [LID] })).toThrow(RangeError);
    expect(() => comparePanels({ ...sound, lab: [LID, [Number.NaN, 0, 0]] })).toThrow(RangeError);
  });

  it('starts from the published 50:50 thresholds and takes the painter’s own', () => {
    expect(comparison.tolerances).toEqual({ seen: 0.8, accepted: 1.8 });
    const strict = { seen: 0.2, accepted: 0.5 };
    expect(comparePanels(colours, { tolerances: strict }).tolerances).toEqual(strict);
    expect(DEFAULT_TOLERANCES.seen).toBeLessThan(DEFAULT_TOLERANCES.accepted);
  });
});

describe('the 95 % interval of a difference', () => {
  // true differences from none to ten standard errors; the same panel twice is the first row
  it.each([0, 0.5, 1, 1.5, 2, 3, 5, 10])(
    'holds the truth when the two differ by %d standard errors',
    (far) => {
      const random = seededRandom(1000 + far);
      const own = 0.4;
      let held = 0;
      const cases = 1200;
      for (let i = 0; i < cases; i++) {
        const way = [random.normal(), random.normal(), random.normal()];
        const step = (far * own * Math.SQRT2) / Math.hypot(...way);
        const other = LID.map((v, c) => v + step * way[c]) as unknown as Lab;
        const truth = deltaE2000(LID, other);
        const seen = (colour: Lab): Lab => colour.map((v) => v + own * random.normal()) as unknown as Lab;
        const colours = normalDraws({ a: seen(LID), b: seen(other) }, own, 1.5, 128, random);
        const [low, high] = comparePanels(colours).pairs[0].interval95;
        if (low <= truth && truth <= high) held++;
      }
      expect(held / cases).toBeGreaterThan(0.93);
      expect(held / cases).toBeLessThan(0.995);
    },
  );
});
