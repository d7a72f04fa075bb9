/** Headers of picture files, read by our own code and by libvips (through sharp). */
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { pictureHeader } from '../../src/core/photo/picture-header.ts';

const picture = () =>
  sharp({ create: { width: 61, height: 37, channels: 3, background: '#a05030' } }).withIccProfile('p3');

describe('the header of a picture file', () => {
  for (const format of ['jpeg', 'png', 'webp'] as const)
    it(`tells size and colour profile of a ${format} as libvips does`, async () => {
      const bytes = await picture().toFormat(format).toBuffer();
      const known = await sharp(bytes).metadata();
      const { size_px, icc, icc_deflated, channels } = pictureHeader(bytes);
      expect(size_px).toEqual([known.width, known.height]);
      expect(channels).toBe(3);
      const { inflateSync } = await import('node:zlib');
      const profile = icc_deflated ? inflateSync(icc as Uint8Array) : icc;
      expect(Buffer.from(profile as Uint8Array).equals(known.icc as Buffer)).toBe(true);
    });

  it('tells lossless and lossy WebP apart, and their sizes', async () => {
    const plain = sharp({ create: { width: 300, height: 200, channels: 3, background: '#808080' } });
    for (const lossless of [true, false])
      expect(pictureHeader(await plain.clone().webp({ lossless }).toBuffer()).size_px).toEqual([300, 200]);
  });

  it('finds a profile that a JPEG keeps in several pieces', async () => {
    const whole = await picture().jpeg().toBuffer();
    const { icc } = pictureHeader(whole);
    const profile = icc as Uint8Array;
    const cut = Math.floor(profile.length / 2);
    const segment = (index: number, part: Uint8Array): Buffer => {
      const head = Buffer.from([0xff, 0xe2, 0, 0, ...Buffer.from('ICC_PROFILE\0'), index, 2]);
      head.writeUInt16BE(part.length + 16, 2);
      return Buffer.concat([head, part]);
    };
    const without = await sharp({ create: { width: 8, height: 8, channels: 3, background: '#000' } })
      .jpeg()
      .toBuffer();
    const start = without.subarray(0, 2);
    const pieces = [segment(2, profile.subarray(cut)), segment(1, profile.subarray(0, cut))];
    const read = pictureHeader(Buffer.concat([start, ...pieces, without.subarray(2)]));
    expect(Buffer.from(read.icc as Uint8Array).equals(Buffer.from(profile))).toBe(true);
  });

  it('tells grey, CMYK and 16 bit', async () => {
    const grey = await sharp({ create: { width: 9, height: 9, channels: 3, background: '#808080' } })
      .toColourspace('b-w')
      .png()
      .toBuffer();
    expect(pictureHeader(grey).channels).toBe(1);
    const cmyk = await sharp({ create: { width: 9, height: 9, channels: 3, background: '#808080' } })
      .toColourspace('cmyk')
      .jpeg()
      .toBuffer();
    expect(pictureHeader(cmyk).channels).toBe(4);
    const deep = await picture().toColourspace('rgb16').png().toBuffer();
    expect(pictureHeader(deep).bits).toBe(16);
  });

  it('never throws, however the file is cut short or bent', async () => {
    for (const format of ['jpeg', 'png', 'webp'] as const) {
      const bytes = await picture().toFormat(format).toBuffer();
      for (let length = 0; length < Math.min(bytes.length, 900); length += 7)
        expect(() => pictureHeader(bytes.subarray(0, length))).not.toThrow();
      for (let at = 2; at < Math.min(bytes.length, 900); at += 5) {
        const bent = Buffer.from(bytes);
        bent[at] ^= 0xff;
        expect(() => pictureHeader(bent)).not.toThrow();
      }
    }
  });
});
