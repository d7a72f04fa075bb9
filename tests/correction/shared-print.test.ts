import { describe, expect, it } from 'vitest';
import { randomSceneUnderLights, sceneReadings } from '../../samples/scene/index.ts';
import { OWN_CARD, stripsBeside } from '../../src/core/card/own.ts';
import { coloursOf, correctionOf } from '../bench/accuracy/run-scene.ts';

/** Mean half-width of L* in the sun photo, in the shop photo, and joined; the joined errors over half-widths. */
function twoPhotos(cardTier: 'measured' | 'nominal', seed: number) {
  const photos = randomSceneUnderLights(
    seed,
    {
      family: 'judge',
      card: OWN_CARD,
      strips: stripsBeside(OWN_CARD),
      cardTier,
      pixels: 'jpeg',
      panels: 6,
    },
    ['day', 'cool-led'],
  ).map(sceneReadings);
  const corrections = photos.map((s) => correctionOf(s));
  const mean = (v: readonly number[]): number => v.reduce((a, b) => a + b, 0) / v.length;
  const widthOf = (read: ReturnType<typeof coloursOf>): number => mean(read.u95.map((u) => u[0]));
  const joined = coloursOf(photos, corrections);
  return {
    alone: Math.min(...photos.map((s, i) => widthOf(coloursOf([s], [corrections[i]])))),
    joined: widthOf(joined),
    held: mean(
      photos[0].truth.panels.map((t, k) =>
        Math.abs(joined.ensemble.lab[k][0] - t.lab[0]) <= joined.u95[k][0] ? 1 : 0,
      ),
    ),
  };
}

describe('two photos of one card', () => {
  it('that nobody measured are wrong alike: joined, lightness is hardly surer than from one', () => {
    const { alone, joined } = twoPhotos('nominal', 810);
    expect(joined).toBeGreaterThan(0.8 * alone);
    expect(joined).toBeLessThanOrEqual(alone);
  });

  it('that an instrument read are surer together', () => {
    const { alone, joined } = twoPhotos('measured', 810);
    expect(joined).toBeLessThan(0.9 * alone);
  });

  it('hold the true lightness in the joined intervals, whatever the print did', () => {
    const held = Array.from({ length: 6 }, (_, i) => twoPhotos('nominal', 820 + i).held);
    expect(held.reduce((a, b) => a + b, 0) / held.length).toBeGreaterThan(0.8);
  });
});
