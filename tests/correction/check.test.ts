import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { correctPhoto, type PatchReading } from '../../src/core/correction/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import type { Reading } from '../../src/core/photo/index.ts';

type Patch = PatchReading['patch'];

/** Readings of a chart in real photographs; see tests/science/realphotos.test.ts. */
const { charts, photos } = JSON.parse(
  readFileSync(new URL('../fixtures/realphotos.json', import.meta.url), 'utf8'),
) as {
  charts: Record<string, { size_mm: [number, number]; patches: Omit<Patch, 'rect_mm'>[] }>;
  photos: {
    file: string;
    chart: string;
    bits: 8;
    profile: never;
    readings: { id: string; patch: Omit<Reading, 'centre_px'> & { at_mm: [number, number] } }[];
  }[];
};

/** A few patches of a photo, read with 6 % of noise and as doubtful as if they had a few hundred pixels or a few dozen. */
function aFewDoubtfulPatches(photo: (typeof photos)[number], seed: number): PatchReading[] {
  const random = seededRandom(seed);
  const count = 4 + Math.floor(random.uniform() * 16);
  return charts[photo.chart].patches
    .map((patch) => {
      const order = random.uniform();
      const read = photo.readings.find((r) => r.id === patch.id)!.patch;
      const [r, g, b] = read.linear.map((v) => v * Math.exp(0.06 * random.normal()));
      const pixels = Math.round(20 * Math.exp(4 * random.uniform()));
      const whole = { glareFraction: 0, dustFraction: 0, centre_px: [0, 0] } as const;
      const reading: Reading = { ...read, ...whole, linear: [r, g, b], pixels };
      return {
        order,
        patch: { ...patch, rect_mm: [0, 0, 1, 1] } as Patch,
        reading,
        sheet: 0,
        at_mm: read.at_mm,
      };
    })
    .sort((a, b) => a.order - b.order)
    .slice(0, count);
}

describe('the check that predicts each patch from the others', () => {
  it('has an answer where one patch holds nearly all that is known of the light', () => {
    for (const file of ['full-01.jpg', 'full-07.jpg'])
      for (const seed of [1027, 1036, 1050, 1051]) {
        const photo = photos.find((p) => p.file === file)!;
        const { check } = correctPhoto(aFewDoubtfulPatches(photo, seed), {
          white: 'D50/2',
          size_mm: charts[photo.chart].size_mm,
          pixels: { bits: photo.bits, profile: photo.profile },
        });
        expect(check.mean_de00).toBeGreaterThan(0);
        expect(check.max_de00).toBeLessThan(60);
      }
  });
});
