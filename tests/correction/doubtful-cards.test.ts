import { beforeAll, describe, expect, it } from 'vitest';
import { LIGHT_KINDS, randomScene, type SceneOptions, sceneReadings } from '../../samples/scene/index.ts';
import { OWN_CARD, stripsBeside } from '../../src/core/card/own.ts';
import { viewing } from '../../src/core/color/index.ts';
import { guessedShares, inkShapes } from '../../src/core/correction/ink-shapes.ts';
import { patchSpectrum } from '../../src/core/correction/patch-spectra.ts';
import { coloursOf, correctionOf, scoreColours } from '../bench/accuracy/run-scene.ts';
import { makeScores, type Scores } from '../bench/accuracy/scores.ts';

const strips = stripsBeside(OWN_CARD);

/** Forty photos of the judging family; `lighter` is the mean error of lightness in each, with its sign. */
function photos(options: Pick<SceneOptions, 'cardTier' | 'misprint' | 'instrument'>): {
  readonly scores: Scores;
  readonly lighter: number;
} {
  const scores = makeScores();
  for (const light of LIGHT_KINDS)
    for (let seed = 760; seed < 768; seed++) {
      const s = sceneReadings(
        randomScene(seed, {
          family: 'judge',
          card: OWN_CARD,
          strips,
          panels: 8,
          pixels: 'jpeg',
          light,
          ...options,
        }),
      );
      const read = coloursOf([s], [correctionOf(s)]);
      scoreColours(scores, s.truth, read, light);
      s.truth.panels.forEach((t, k) => {
        scores.add('lighter', read.ensemble.lab[k][0] - t.lab[0]);
      });
    }
  return { scores, lighter: scores.mean('lighter') };
}

describe('a nominal card whose every patch is off by itself', () => {
  let scores: Scores;
  let lighter: number;
  beforeAll(() => {
    ({ scores, lighter } = photos({ cardTier: 'nominal', misprint: 'by patch' }));
  });

  // a patch that reads too light must not pull harder at the tone curve than one that reads too dark
  it('makes panels neither lighter nor darker', () => {
    expect(Math.abs(lighter)).toBeLessThan(0.6);
  });

  it('leaves panels as near to the truth as a nominal card is to allow, within their intervals', () => {
    expect(scores.mean('error')).toBeLessThan(2);
    for (const axis of ['L*', 'a*', 'b*']) expect(scores.mean(`held ${axis}`), axis).toBeGreaterThan(0.88);
  });
});

describe('a measured card of which the instrument told Lab alone', () => {
  let scores: Scores;
  let withSpectra: Scores;
  beforeAll(() => {
    scores = photos({ cardTier: 'measured', instrument: 'lab' }).scores;
    withSpectra = photos({ cardTier: 'measured' }).scores;
  });

  it('serves nearly as well as one with spectra', () => {
    expect(scores.mean('error') / withSpectra.mean('error')).toBeLessThan(1.2);
  });

  it('leaves as many panels within their intervals', () => {
    for (const axis of ['L*', 'a*', 'b*'])
      expect(scores.mean(`held ${axis}`), axis).toBeGreaterThan(withSpectra.mean(`held ${axis}`) - 0.05);
  });
});

describe('spectra are taken for guesses', () => {
  const D50 = viewing('D50/2');
  const stated = OWN_CARD.patches.map((p) => patchSpectrum(p, D50));

  it('where only Lab is stated, and not where both agree', () => {
    const labAlone = OWN_CARD.patches.map((p, i) =>
      patchSpectrum({ ...p, lab: [...stated[i].lab], spectrum: undefined, print: undefined }, D50),
    );
    expect(new Set(guessedShares(labAlone))).toEqual(new Set([1]));
    expect(Math.max(...guessedShares(stated))).toBeLessThan(0.1);
  });

  it('where the stated Lab is another colour, as a nominal spectrum has beside a reading', () => {
    const read = OWN_CARD.patches.map((p, i) => {
      const [L, a, b] = stated[i].lab;
      return patchSpectrum({ ...p, lab: [L - 1.5, a + 1, b], spectrum: p.spectrum }, D50);
    });
    expect(Math.min(...guessedShares(read))).toBe(1);
  });

  it('which other inks would have without another colour, coloured patches more than greys', () => {
    const shapes = inkShapes(
      stated,
      stated.map(() => 1),
      D50,
    );
    const size = (id: string): number => {
      const i = OWN_CARD.patches.findIndex((p) => p.id === id);
      const { reflectance } = stated[i];
      return Math.hypot(...shapes[i].flatMap((m) => [...m.map((v, k) => v / reflectance[k])]));
    };
    expect(size('F1')).toBeGreaterThan(3 * size('W1'));
    expect(size('F4')).toBeGreaterThan(3 * size('W1'));
  });
});
