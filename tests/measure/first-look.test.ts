import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/color/index.ts';
import { lookFirst, type MeasuredPhoto, measurePhoto } from '../../src/core/measure/index.ts';
import type { Raster } from '../../src/core/photo/types.ts';
import { openPhoto } from '../../src/node/read-photo.ts';

const PHOTO = new URL('../../samples/demo/sun-1.jpg', import.meta.url);

/** Farthest distance of a corner from the same corner, px. */
function apart(a: MeasuredPhoto['panels'][number], b: MeasuredPhoto['panels'][number]): number {
  return Math.max(
    ...a.corners_px.map(([x, y], i) => Math.hypot(x - b.corners_px[i][0], y - b.corners_px[i][1])),
  );
}

describe('a first look at a small copy of a photo', () => {
  it('finds the same card, and leads to the same panels and colours', async () => {
    const opened = await openPhoto(readFileSync(PHOTO));
    const copy = await opened.smallCopy();
    const tags = copy && lookFirst(copy.raster, copy.factor);
    expect(tags).toBeDefined();
    const { raster } = await opened.photo;
    const plain = measurePhoto(raster);
    const helped = measurePhoto(raster, {}, tags);
    helped.card.corners_px.forEach(([x, y], i) => {
      const [px, py] = plain.card.corners_px[i];
      expect(Math.hypot(x - px, y - py)).toBeLessThan(0.05);
    });
    expect(helped.panels.map((p) => p.id)).toEqual(plain.panels.map((p) => p.id));
    helped.panels.slice(1).forEach((panel, i) => {
      expect(apart(panel, plain.panels[i + 1])).toBeLessThan(1.5);
      expect(deltaE2000(panel.lab, plain.panels[i + 1].lab)).toBeLessThan(0.05);
    });
    // the square in the kettle's lid may be cut a little larger or smaller
    expect(deltaE2000(helped.panels[0].lab, plain.panels[0].lab)).toBeLessThan(0.1);
  }, 60_000);

  it('says nothing when the card cannot be found, or was placed by hand', async () => {
    const grey: Raster = {
      width_px: 400,
      height_px: 300,
      bits: 8,
      data: new Uint8Array(3 * 400 * 300).fill(128),
      profile: (await (await openPhoto(readFileSync(PHOTO))).photo).raster.profile,
    };
    expect(lookFirst(grey, 4)).toBeUndefined();
    const corners: [number, number][] = [
      [10, 10],
      [300, 10],
      [300, 200],
      [10, 200],
    ];
    expect(lookFirst(grey, 4, { corners_px: corners as never })).toBeUndefined();
  });
});

describe('the small copy of a photo', () => {
  it('is upright, and its factor times as large as the photo', async () => {
    const small = sharp(readFileSync(PHOTO)).resize({ width: 2000, height: 1503, fit: 'fill' });
    const turned = await small.withMetadata({ orientation: 6 }).jpeg().toBuffer();
    const opened = await openPhoto(turned);
    const [copy, { raster }] = await Promise.all([opened.smallCopy(), opened.photo]);
    expect([raster.width_px, raster.height_px]).toEqual([1503, 2000]);
    expect(copy?.factor).toBe(2);
    expect([copy?.raster.width_px, copy?.raster.height_px]).toEqual([752, 1000]);
  });

  it('is not made of small photos, nor of files that read no faster small', async () => {
    const picture = sharp(readFileSync(PHOTO)).resize({ width: 1200 });
    for (const file of [
      await picture.jpeg().toBuffer(),
      await picture.resize({ width: 2000 }).png().toBuffer(),
    ]) {
      const opened = await openPhoto(file);
      expect(await opened.smallCopy()).toBeUndefined();
      await opened.photo;
    }
  });

  it('of a broken file is missing, and the file is refused when the photo is asked for', async () => {
    const whole = readFileSync(PHOTO);
    const opened = await openPhoto(whole.subarray(0, whole.length >> 1), 'half.jpg');
    expect(await opened.smallCopy()).toBeUndefined();
    await expect(opened.photo).rejects.toMatchObject({ code: 'image-broken' });
  });
});
