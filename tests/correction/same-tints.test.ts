import { beforeAll, describe, expect, it } from 'vitest';
import { LIGHT_KINDS, randomScene, type SceneReadings, sceneReadings } from '../../samples/scene/index.ts';
import { OWN_CARD, stripsBeside } from '../../src/core/card/own.ts';
import { deltaE2000 } from '../../src/core/color/index.ts';
import { comparePanels } from '../../src/core/compare/index.ts';
import { readColours } from '../../src/core/correction/index.ts';
import { correctionOf, sightingsOf } from '../bench/accuracy/run-scene.ts';
import { makeScores } from '../bench/accuracy/scores.ts';

function panelsIn(
  light: (typeof LIGHT_KINDS)[number],
  seed: number,
  pixels: 'linear' | 'jpeg' = 'linear',
): SceneReadings {
  return sceneReadings(
    randomScene(seed, {
      family: 'judge',
      card: OWN_CARD,
      strips: stripsBeside(OWN_CARD),
      cardTier: 'measured',
      panels: 8,
      nearPairs: true,
      pixels,
      light,
    }),
  );
}

/**
 * Panels of one blend err alike in a photo: what three channels cannot tell of a pigment they cannot tell of any of them, and
 * light that falls unevenly changes all channels alike. `npm run bench:accuracy` holds many more scenes.
 */
describe.each([
  ['linear', 0.88],
  ['jpeg', 0.92],
] as const)('the difference of two panels of the same tints, in %s pixels', (pixels, narrower) => {
  const scores = makeScores();

  beforeAll(() => {
    for (const light of LIGHT_KINDS)
      for (let seed = 740; seed < 746; seed++) {
        const s = panelsIn(light, seed, pixels);
        const correction = correctionOf(s);
        const ids = s.panels.map((p) => p.id);
        const noted = sightingsOf([s]);
        const pairsOf = (sightings: typeof noted) =>
          comparePanels(readColours(s.card.white, ids, [correction], sightings).ensemble).pairs;
        const unnoted = pairsOf(noted.map(({ madeOf: _, ...sighting }) => sighting));
        pairsOf(noted).forEach(({ a, b, interval95: [low, high] }, k) => {
          const [p, q] = [a, b].map((id) => s.truth.panels[ids.indexOf(id)]);
          const truth = deltaE2000(p.lab, q.lab);
          if (p.tint === undefined || p.tint !== q.tint || truth >= 12) return;
          const wide = unnoted[k].interval95;
          scores.add('held', low <= truth && truth <= high ? 1 : 0);
          scores.add('width', high - low);
          scores.add('width when nobody noted the tints', wide[1] - wide[0]);
        });
      }
  });

  it('is told within an interval that holds, narrower than if nobody had noted their tints', () => {
    expect(scores.count('held')).toBeGreaterThan(200);
    expect(scores.mean('held')).toBeGreaterThan(0.92);
    expect(scores.mean('width') / scores.mean('width when nobody noted the tints')).toBeLessThan(narrower);
  });
});

describe('two panels that read alike', () => {
  /** Half-width of their difference in a*, each with its red channel as told. */
  function doubtOfDifference(redIsLost: readonly [boolean, boolean]): number {
    const s = panelsIn('day', 750);
    const [sighting] = sightingsOf([s]);
    const { reading } = sighting.reading;
    const { ensemble } = readColours(
      s.card.white,
      ['a', 'b'],
      [correctionOf(s)],
      redIsLost.map((isLost, thing) => {
        const clippedLow = [isLost ? 1 : 0, 0, 0] as const;
        return { ...sighting, thing, reading: { ...sighting.reading, reading: { ...reading, clippedLow } } };
      }),
    );
    let square = 0;
    for (let k = 0; k < ensemble.count; k++)
      square += (ensemble.draws[6 * k + 1] - ensemble.draws[6 * k + 4]) ** 2 / ensemble.count;
    return 1.96 * Math.sqrt(square);
  }

  it('may be of colours far apart where a channel of them is empty', () => {
    const whole = doubtOfDifference([false, false]);
    expect(whole).toBeLessThan(1);
    expect(doubtOfDifference([true, true])).toBeGreaterThan(2 * whole);
  });
});
