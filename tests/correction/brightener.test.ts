import { beforeAll, describe, expect, it } from 'vitest';
import { LIGHT_KINDS, type SceneOptions, sceneReadings } from '../../samples/scene/index.ts';
import { glowOf } from '../../src/core/correction/brightener.ts';
import { printedPatches } from '../../src/core/correction/printed-patches.ts';
import { coloursOf, correctionOf, scoreColours } from '../bench/accuracy/run-scene.ts';
import { makeScores, type Scores } from '../bench/accuracy/scores.ts';
import { benchScene } from '../measure/rendered.ts';

/**
 * Paper of some bright office sheets: b* is 5 to 6 lower with the ultraviolet of D50 than without (from memory: the papers of
 * ISO 12647-2:2013 lie at b* −4 to −6 under M1, plain ones at 0 to 3).
 */
const BRIGHT = 0.1;

function photos(light: NonNullable<SceneOptions['light']>, brightener: number): Scores {
  const scores = makeScores();
  for (let seed = 4300; seed < 4310; seed++) {
    const s = sceneReadings(benchScene(seed, { light, panels: 10, brightener }));
    const correction = correctionOf(s);
    const read = coloursOf([s], [correction]);
    scoreColours(scores, s.truth, read, 'photo');
    scores.add('glow', correction.glow);
    for (const [k, lab] of read.ensemble.lab.entries())
      scores.add('b* off', lab[2] - s.truth.panels[k].lab[2]);
  }
  return scores;
}

describe('a measured card on brightened paper', () => {
  const plain: Record<string, Scores> = {};
  const bright: Record<string, Scores> = {};

  beforeAll(() => {
    for (const light of LIGHT_KINDS) {
      plain[light] = photos(light, 0);
      bright[light] = photos(light, BRIGHT);
    }
  });

  it('is told from plain paper by its spectra', () => {
    for (const light of LIGHT_KINDS) {
      expect(plain[light].mean('glow')).toBeLessThan(0.005);
      // what an M0 lamp wakes is half of it
      expect(bright[light].mean('glow')).toBeGreaterThan(0.05);
    }
  });

  it.each(LIGHT_KINDS)('gives the colours that plain paper gives, in %s light', (light) => {
    expect(Math.abs(bright[light].mean('b* off') - plain[light].mean('b* off'))).toBeLessThan(1);
    expect(bright[light].mean('error')).toBeLessThan(1.2 * plain[light].mean('error'));
    // a hundred panels each: a few of them more or less are chance
    expect(bright[light].mean('held b*')).toBeGreaterThan(plain[light].mean('held b*') - 0.06);
  });

  it('has none where it shows no paper: a light colour is blue by itself', () => {
    const { patches } = sceneReadings(benchScene(4300, { light: 'cool-led', panels: 1, strips: [] }));
    const paintsAlone = patches
      .map((p) => p.patch)
      .filter(({ role, lab }) => role === 'colour' && lab![0] < 66);
    expect(glowOf(printedPatches(paintsAlone, 'D50/2'))).toBe(0);
  });
});
