import fc from 'fast-check';
import jsQR from 'jsqr';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import {
  boardCode,
  boardSvgs,
  codeModules,
  jobReference,
  parseBoardCode,
} from '../../src/core/board/index.ts';
import { SprayoutError } from '../../src/core/errors.ts';
import { boardFonts } from '../../src/node/board-fonts.ts';
import { documentOf, jobOf } from './board-job.ts';

const RECORD = {
  job: 'Kettle lid',
  white: 'D50/2',
  panels: [{ id: 'p7', recipe: 'garnet:5 amber:1 /5 x3 gold clear', lab: [41.91, 37.56, 33.4] as const }],
};

/** What a reader of QR codes (ISO/IEC 18004) finds in a picture. */
async function scanned(png: Buffer | Uint8Array): Promise<string | undefined> {
  const { data, info } = await sharp(png).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
  return jsQR(new Uint8ClampedArray(data), info.width, info.height)?.data;
}

describe('the code on a board', () => {
  it('says job, panels, recipe and colour, and is read back as they were', () => {
    expect(parseBoardCode(boardCode(RECORD))).toEqual({
      job: jobReference('Kettle lid'),
      white: 'D50/2',
      more: 0,
      panels: [{ ...RECORD.panels[0], lab: [41.9, 37.6, 33.4] }],
    });
  });

  it('names a job by the SHA-256 of its name (FIPS 180-4: that of "abc" begins ba7816bf8f01)', () => {
    expect(jobReference('abc')).toBe('ba7816bf8f01');
    expect(jobReference('é')).toBe(jobReference('e\u0301'));
  });

  it('is found by a QR reader in the picture for posting, with one panel and with six', async () => {
    const fonts = await boardFonts();
    for (const count of [1, 6]) {
      const job = jobOf(
        Array.from({ length: count }, (_, i) => ({ id: `p${i + 1}`, name: `Panel ${i + 1}` })),
      );
      const [svg] = boardSvgs(documentOf(job), { fonts, perSheet: count });
      const png = await sharp(Buffer.from(svg)).png().toBuffer();
      const { job: reference, panels } = parseBoardCode((await scanned(png)) ?? '');
      expect(reference).toBe(jobReference('Kettle lid'));
      expect(panels.map((p) => p.id)).toEqual(job.panels.map((p) => p.id));
      if (count === 1) {
        expect(panels[0].recipe).toBe('garnet:5 amber:1 /5 x3 gold clear');
        expect(panels[0].lab).toEqual([41.9, 37.6, 33.4]);
      }
      // and after the losses of posting: smaller, and as a coarse JPEG
      const posted = await sharp(png).resize(1080).jpeg({ quality: 75 }).toBuffer();
      expect(await scanned(posted)).toBe(await scanned(png));
    }
  });

  it('holds letters of every script', async () => {
    const text = boardCode({ ...RECORD, panels: [{ id: 'Žluť-לכה-金' }] });
    const modules = codeModules(text);
    const side = modules.length + 8;
    const pixels = Uint8Array.from({ length: side * side }, (_, i) =>
      modules[Math.floor(i / side) - 4]?.[(i % side) - 4] ? 0 : 255,
    );
    const png = await sharp(pixels, { raw: { width: side, height: side, channels: 1 } })
      .resize(side * 4, side * 4, { kernel: 'nearest' })
      .png()
      .toBuffer();
    expect(parseBoardCode((await scanned(png)) ?? '').panels[0].id).toBe('Žluť-לכה-金');
  });

  it('keeps to its size however many panels there are: colours go first, then recipes, then panels, and it says how many', () => {
    const many = (count: number) => ({
      ...RECORD,
      panels: Array.from({ length: count }, (_, i) => ({ ...RECORD.panels[0], id: `panel-${i}` })),
    });
    const bytes = (text: string): number => new TextEncoder().encode(text).length;
    for (const count of [1, 4, 12, 100]) {
      const text = boardCode(many(count));
      expect(bytes(text)).toBeLessThanOrEqual(412);
      const { panels, more } = parseBoardCode(text);
      expect(panels.length + more).toBe(count);
    }
    expect(parseBoardCode(boardCode(many(12))).panels.every((p) => p.lab === undefined)).toBe(true);
  });

  it('survives any record', () => {
    fc.assert(
      fc.property(
        fc.string({ maxLength: 300 }),
        fc.uniqueArray(fc.string({ minLength: 1, maxLength: 60 }), { minLength: 1, maxLength: 30 }),
        (job, ids) => {
          const { panels, more } = parseBoardCode(
            boardCode({ job, white: 'D50/2', panels: ids.map((id) => ({ id })) }),
          );
          expect(panels.map((p) => p.id)).toEqual(ids.slice(0, ids.length - more));
        },
      ),
      { numRuns: 60, seed: 7 },
    );
  });

  it.each([
    '',
    'https://example.org',
    '{}',
    '[]',
    '{"format":"sprayout-board/1"}',
    '{"format":"sprayout-board/1","job":"ba7816bf8f01","white":"D50/2","panels":[]}',
  ])('refuses a code that is none of ours: %s', (text) => {
    expect(() => parseBoardCode(text)).toThrow(SprayoutError);
    expect(() => parseBoardCode(text)).toThrow(/not one of a sample board/);
  });
});
