import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { SprayoutError } from '../../src/core/errors.ts';
import { packBundle, unpackBundle } from '../../src/core/job/bundle/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { cleanMetadata } from '../../src/core/photo/clean-metadata.ts';
import { readPhoto } from '../../src/node/read-photo.ts';
import { PHOTO } from '../job/bundled-job.ts';
import { soundJob } from '../job/sample-job.ts';
import { spoilBytes } from './mutations.ts';

const { bytes: SOUND } = packBundle(soundJob(), new Map([['photos/sun.jpg', PHOTO]]), { version: '0.1.0' });

describe('spoilt bundles are read or refused, never more', () => {
  it.each([false, true])('with damaged files allowed: %s', (allowDamaged) => {
    const random = seededRandom(11);
    let answers = 0;
    for (let i = 0; i < 1500; i++) {
      const bytes = spoilBytes(SOUND, random);
      try {
        const { files } = unpackBundle(bytes, { allowDamaged });
        answers++;
        // whatever was read is what was packed
        for (const content of files.values()) expect(content).toEqual(PHOTO);
      } catch (error) {
        if (!(error instanceof SprayoutError))
          throw new Error(`no typed error in round ${i}`, { cause: error });
        expect(error.code).not.toBe('internal');
        expect(error.message.length).toBeLessThan(500);
        expect(error.hint).not.toBe('');
      }
    }
    expect(answers).toBeGreaterThan(10);
    expect(answers).toBeLessThan(1000);
  });
});

const shades = Uint8Array.from({ length: 3 * 24 * 18 }, (_, i) => (i * 29) % 251);
const picture = sharp(shades, { raw: { width: 24, height: 18, channels: 3 } })
  .withExif({
    IFD0: { Artist: 'somebody', Orientation: '6' },
    IFD2: { FNumber: '18/10' },
    IFD3: { GPSLatitudeRef: 'N' },
  })
  .withXmp('<x:xmpmeta xmlns:x="adobe:ns:meta/"/>');

function samePixels(a: Uint8Array | Uint16Array, b: Uint8Array | Uint16Array): boolean {
  return a.length === b.length && a.every((value, i) => value === b[i]);
}

describe('spoilt photos are cleaned or left as they are', () => {
  it.each<[string, () => Promise<Buffer>]>([
    ['JPEG', () => picture.clone().jpeg().toBuffer()],
    ['progressive JPEG', () => picture.clone().jpeg({ progressive: true }).toBuffer()],
    ['PNG', () => picture.clone().png().toBuffer()],
    ['WebP', () => picture.clone().webp().toBuffer()],
    ['TIFF', () => picture.clone().tiff({ compression: 'none' }).toBuffer()],
  ])('%s: what could be read before can be read after, and is the same', async (_, write) => {
    const sound = Uint8Array.from(await write());
    const random = seededRandom(12);
    let compared = 0;
    for (let i = 0; i < 150; i++) {
      const spoilt = spoilBytes(sound, random);
      const cleaned = cleanMetadata(spoilt);
      const before = await readPhoto(spoilt).catch(() => undefined);
      if (!before || !cleaned.cleaned) continue;
      compared++;
      const after = await readPhoto(cleaned.bytes);
      if (!samePixels(after.raster.data, before.raster.data)) throw new Error(`other pixels in round ${i}`);
    }
    expect(compared).toBeGreaterThan(5);
  });
});
