import { beforeAll, describe, expect, it } from 'vitest';
import { LIGHT_KINDS, type Scene, sceneReadings } from '../../samples/scene/index.ts';
import { coloursOf, correctionOf, scoreColours } from '../bench/accuracy/run-scene.ts';
import { makeScores, type Scores } from '../bench/accuracy/scores.ts';
import { benchScene } from '../measure/rendered.ts';

/** Light that the card's surface mirrors: none at its left end, `most` of a perfect white's at its right one. */
function withSheen(scene: Scene, most: number): Scene {
  const { definition, spectra } = scene.card;
  return {
    ...scene,
    card: {
      ...scene.card,
      spectra: spectra.map((spectrum, i) => {
        const [x, , width] = definition.patches[i].rect_mm;
        return spectrum.map((v) => v + (most * (x + width / 2)) / definition.size_mm[0]);
      }),
    },
  };
}

function photos(most: number): Scores {
  const scores = makeScores();
  for (const light of LIGHT_KINDS)
    for (let seed = 2300; seed < 2308; seed++) {
      const scene = benchScene(seed, { light, panels: 10 });
      const s = sceneReadings(withSheen(scene, most));
      scoreColours(scores, s.truth, coloursOf([s], [correctionOf(s)]), light);
    }
  return scores;
}

describe('a card on which a window is mirrored softly towards one end', () => {
  let plain: Scores;
  let sheen: Scores;

  beforeAll(() => {
    plain = photos(0);
    sheen = photos(0.03);
  });

  it('gives panels the colours that it gives without', () => {
    // taken for the card's own light it makes dark panels 5 L* too dark, and 2.5 ΔE2000 of all of them
    expect(sheen.mean('error')).toBeLessThan(1.15 * plain.mean('error'));
    expect(sheen.mean('pair error')).toBeLessThan(1.25 * plain.mean('pair error'));
  });

  it('and intervals that hold them', () => {
    expect(sheen.mean('held L*')).toBeGreaterThan(0.92);
    expect(sheen.mean('pair held')).toBeGreaterThan(0.94);
  });
});
