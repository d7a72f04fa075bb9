import { describe, expect, it } from 'vitest';
import type { LightField } from '../../samples/scene/field.ts';
import { randomSceneUnderLights, sceneReadings } from '../../samples/scene/index.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { thingOf } from '../../src/core/correction/correct-photo.ts';
import { labAt } from '../../src/core/correction/estimate.ts';
import { FIELD_TERMS, fieldTerms } from '../../src/core/correction/light-field.ts';
import { correctionOf } from '../bench/accuracy/run-scene.ts';

/** Greys laid left and right of the card, where a window at one side makes the light `warmer` per 100 mm to the right. */
function greysUnder(warmer: number, seed: number) {
  const [scene] = randomSceneUnderLights(
    seed,
    { family: 'judge', pixels: 'linear', card: OWN_CARD, cardTier: 'measured', panels: 8 },
    ['day'],
  );
  const middle = scene.card.definition.size_mm[0] / 2;
  const field: LightField = (x) => {
    const change = (warmer * (x - middle)) / 100;
    return [1 + change, 1, 1 - change];
  };
  const grey = scene.panels[0].spectrum.map(() => 0.3);
  const photo = sceneReadings({
    ...scene,
    field,
    panels: scene.panels.map((p) => ({ ...p, kind: 'solid', spectrum: grey })),
  });
  const correction = correctionOf(photo);
  const greys = photo.panels
    .map(({ reading, at_mm }) => thingOf(reading, at_mm, correction.candidate, correction.size_mm))
    .sort((a, b) => a.at[0] - b.at[0]);
  return { photo: correction.photo, leftmost: greys[0], rightmost: greys[greys.length - 1] };
}

const WARMER = 0.005;
const benches = [7000, 7001, 7002, 7003].map((seed) => greysUnder(WARMER, seed));
const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;

describe('light that is warmer on one side of the bench', () => {
  it('is found for the greater part from the card’s greys, and never made more of', () => {
    const found = benches.map(({ photo: { fit } }) => {
      const [red, , blue] = [0, 1, 2].map((c) => {
        const [there, here] = [fieldTerms([1, 0], c), fieldTerms([0, 0], c)];
        return there.reduce((s, t, k) => s + (t - here[k]) * fit.theta[fit.layout.field + k], 0);
      });
      return (red - blue) / 2;
    });
    expect(mean(found)).toBeGreaterThan(0.5 * WARMER);
    expect(mean(found)).toBeLessThan(WARMER);
  });

  it('parts two like greys at the bench’s ends by half of what it would if it were not sought', () => {
    const apart = (sought: boolean): number[] =>
      benches.map(({ photo, leftmost, rightmost }) => {
        const theta = photo.fit.theta.slice();
        const field = photo.fit.layout.field;
        if (!sought) theta.fill(0, field + FIELD_TERMS - 2, field + FIELD_TERMS);
        const [left, right] = [leftmost, rightmost].map((grey) => labAt(photo, theta, grey));
        return right[2] - left[2];
      });
    expect(mean(apart(false))).toBeGreaterThan(0.5);
    expect(Math.abs(mean(apart(true)))).toBeLessThan(0.5 * mean(apart(false)));
  });
});
