import { readFile } from 'node:fs/promises';
import { beforeAll, describe, expect, it } from 'vitest';
import { randomScene, renderScene } from '../../samples/scene/index.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { measurePhoto } from '../../src/core/measure/index.ts';
import type { Raster } from '../../src/core/photo/index.ts';
import { readPhoto } from '../../src/node/read-photo.ts';

/** A rendered bench in Display P3, encoded as HEVC by libheif 1.15 at quality 70. */
const FILE = new URL('../fixtures/bench-p3.heic', import.meta.url).pathname;

describe('a HEIC photo', () => {
  let raster: Raster;
  let warnings: readonly unknown[];
  const rendered = renderScene(
    randomScene(44, {
      family: 'tune',
      pixels: 'jpeg',
      space: 'p3',
      card: OWN_CARD,
      cardTier: 'measured',
      panels: 3,
      light: 'day',
    }),
    { width_px: 1200, height_px: 900, glareChance: 0 },
  );
  beforeAll(async () => {
    ({ raster, warnings } = await readPhoto(FILE));
  });

  it('is decoded in its own colours, with the profile it carries', () => {
    expect([raster.width_px, raster.height_px, raster.bits]).toEqual([1200, 900, 8]);
    expect(raster.profile).toMatchObject({ source: 'embedded', isLinear: false });
    expect(raster.profile.toLinearSrgb[0]).toBeCloseTo(1.2249, 2); // Display P3 to sRGB, red to red
    expect(warnings).toEqual([]);
  });

  it('holds the pixels that were encoded, to what the compression loses', () => {
    let apart = 0;
    for (let i = 0; i < raster.data.length; i += 7) apart += Math.abs(raster.data[i] - rendered.data[i]);
    expect(apart / (raster.data.length / 7)).toBeLessThan(3);
  });

  it('is measured like the photo it was made from', () => {
    const panels = {
      format: 'sprayout-panels/1' as const,
      panels: rendered.truth.panels.map((p) => ({ id: p.id, corners_px: p.corners_px as never })),
    };
    const measured = measurePhoto(raster, { card: OWN_CARD, panels });
    rendered.truth.panels.forEach(({ lab }, i) => {
      const { lab: read, u95 } = measured.panels[i];
      for (let k = 0; k < 3; k++) expect(Math.abs(read[k] - lab[k])).toBeLessThan(2 * u95[k]);
    });
  });

  it('that is cut short is refused without a word on stdout', async () => {
    const whole = await readFile(FILE);
    await expect(readPhoto(whole.subarray(0, 300), 'cut.heic')).rejects.toMatchObject({
      code: 'image-broken',
    });
  });
});
