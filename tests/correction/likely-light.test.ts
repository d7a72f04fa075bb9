import { describe, expect, it } from 'vitest';
import { randomSceneUnderLights, sceneReadings } from '../../samples/scene/index.ts';
import { LIGHT_KINDS } from '../../samples/scene/lights.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { correctPhoto } from '../../src/core/correction/index.ts';
import { photoLight } from '../../src/core/correction/photo-light.ts';
import { SHIPPED_PRIOR } from '../../src/core/correction/prior.ts';
import { colourSpread } from './light-by-spectrum.ts';

const correctionsOf = (pixels: 'jpeg' | 'linear') =>
  [1, 2, 3, 4, 5, 6, 7, 8].flatMap((seed) =>
    randomSceneUnderLights(
      4200 + seed,
      { family: 'judge', pixels, card: OWN_CARD, cardTier: 'measured', panels: 1 },
      LIGHT_KINDS,
    ).map((scene, i) => {
      const s = sceneReadings(scene);
      const correction = correctPhoto(s.patches, {
        white: s.card.white,
        size_mm: s.card.size_mm,
        pixels: { bits: s.bits, profile: { ...s.profile, source: 'embedded' } },
      });
      return { kind: LIGHT_KINDS[i], truth: s.truth.light, correction };
    }),
  );

describe.each(['jpeg', 'linear'] as const)('the light that a card tells of in %s pixels', (pixels) => {
  const corrections = correctionsOf(pixels);

  it('is within the stated interval of temperature nearly always, and of Duv', () => {
    const held = corrections.filter(({ truth, correction: { light } }) => {
      const [low, high] = light.cct_k_interval95;
      return low < truth.cct_k && truth.cct_k < high;
    });
    expect(held.length).toBeGreaterThanOrEqual(0.85 * corrections.length);
    for (const { truth, correction } of corrections)
      expect(Math.abs(correction.light.duv - truth.duv)).toBeLessThan(1.5 * correction.light.duv_u95);
  });

  it('is of the right kind for daylight, tubes and lamps four times of five', () => {
    const names = { day: 'day', 'tri-phosphor': 'tri-phosphor', lamp: 'lamp' } as const;
    const plain = corrections.flatMap((c) => (c.kind in names ? [c] : []));
    const right = plain.filter((c) => c.correction.light.kind.name === names[c.kind as keyof typeof names]);
    expect(right.length).toBeGreaterThanOrEqual(0.8 * plain.length);
  });

  it('has the colour and the doubt that follow from its whole spectrum', () => {
    for (const { correction } of corrections) {
      const prior = SHIPPED_PRIOR.lights[correction.cardFit.model.sensitivity];
      const bySpectrum = colourSpread(photoLight(correction.cardFit, prior));
      const { cct_k, duv, cct_k_interval95, duv_u95 } = correction.light;
      expect(cct_k).toBeCloseTo(bySpectrum.cct_k, 0);
      expect(duv).toBeCloseTo(bySpectrum.duv, 4);
      expect(duv_u95 / bySpectrum.duv_u95).toBeCloseTo(1, 1);
      const width = cct_k_interval95[0] / bySpectrum.cct_k_interval95[0];
      expect(width).toBeCloseTo(1, 1);
    }
  });
});
