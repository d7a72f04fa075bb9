import { beforeAll, describe, expect, it } from 'vitest';
import { LIGHT_KINDS, type SceneReadings, sceneReadings } from '../../samples/scene/index.ts';
import { correctPhoto } from '../../src/core/correction/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { coloursOf, scoreColours } from '../bench/accuracy/run-scene.ts';
import { makeScores, type Scores } from '../bench/accuracy/scores.ts';
import { benchScene } from '../measure/rendered.ts';

/** How far the short edges stand off the middle, mm. */
const BENT_MM = 4;
const HALF_MM = 74;

/** A card bent along its length faces light that comes in aslant more with one half and less with the other (Lambert). */
function photoOf(seed: number, light: (typeof LIGHT_KINDS)[number]): SceneReadings {
  // light comes in at up to 39° along the bend
  const tangent = 0.8 * (2 * seededRandom(7919 * seed + light.length).uniform() - 1);
  const scene = benchScene(seed, { light, panels: 10, strips: [] });
  const isOnCard = (x: number, y: number): boolean => x > 0 && y > 0 && x < 2 * HALF_MM && y < 105;
  return sceneReadings({
    ...scene,
    field: (x, y) => {
      const lean = isOnCard(x, y) ? (2 * BENT_MM * (x - HALF_MM)) / HALF_MM ** 2 : 0;
      const [r, g, b] = scene.field(x, y);
      const more = 1 + lean * tangent;
      return [r * more, g * more, b * more];
    },
  });
}

function read(isTold: boolean): Scores {
  const scores = makeScores();
  for (const light of LIGHT_KINDS)
    for (let seed = 640; seed < 650; seed++) {
      const s = photoOf(seed, light);
      const correction = correctPhoto(s.patches, {
        white: s.card.white,
        size_mm: s.card.size_mm,
        pixels: { bits: s.bits, profile: { ...s.profile, source: 'embedded' } },
        ...(isTold && { curl: { xx: -BENT_MM / HALF_MM ** 2, xy: 0, yy: 0 } }),
      });
      scores.add('check', correction.check.mean_de00);
      scoreColours(scores, s.truth, coloursOf([s], [correction]), light);
    }
  return scores;
}

describe('a bent card', () => {
  let unaware: Scores;
  let aware: Scores;

  beforeAll(() => {
    unaware = read(false);
    aware = read(true);
  });

  it('makes up a fall of light that its own check does not see', () => {
    expect(unaware.mean('held L*')).toBeLessThan(0.85);
    expect(unaware.mean('check')).toBeLessThan(1.8);
    expect(aware.mean('check')).toBeCloseTo(unaware.mean('check'), 6);
  });

  it('where it is told leaves lightness and differences in lightness open, and colours as they were', () => {
    expect(aware.mean('held L*')).toBeGreaterThan(0.93);
    expect(aware.mean('pair held')).toBeGreaterThan(0.93);
    expect(aware.mean('pair held')).toBeGreaterThan(unaware.mean('pair held') + 0.05);
    expect(aware.mean('error')).toBeCloseTo(unaware.mean('error'), 6);
  });
});
