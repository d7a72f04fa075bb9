import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { OWN_CARD, parseCard } from '../../src/core/card/index.ts';
import { SprayoutError } from '../../src/core/errors.ts';
import { parsePanels } from '../../src/core/job/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { type MeasureOptions, measurePhoto } from '../../src/core/measure/index.ts';
import type { Raster } from '../../src/core/photo/types.ts';
import { readPhoto } from '../../src/node/read-photo.ts';
import { spoilBytes, spoilJson } from './mutations.ts';

const PHOTO = fileURLToPath(new URL('../../samples/demo/sun-1.jpg', import.meta.url));

/** Runs something that may refuse; anything thrown but a typed error is a defect. Returns the refusal's code. */
async function answerOrRefusal<T>(ask: () => T | Promise<T>): Promise<{ answer?: T; code?: string }> {
  try {
    return { answer: await ask() };
  } catch (error) {
    if (!(error instanceof SprayoutError)) throw error;
    expect(error.code).not.toBe('internal');
    expect(error.hint).not.toBe('');
    return { code: error.code };
  }
}

function expectSound(measured: ReturnType<typeof measurePhoto>): void {
  for (const { lab, u95 } of measured.panels)
    for (const v of [...lab, ...u95]) expect(Number.isFinite(v)).toBe(true);
}

describe('spoilt photos are read or refused, never more', () => {
  it.each(['jpeg', 'png', 'tiff', 'webp'] as const)('as %s', async (format) => {
    const sound = await sharp(PHOTO).resize({ width: 480 }).keepMetadata().toFormat(format).toBuffer();
    const random = seededRandom(31);
    const codes = new Map<string, number>();
    for (let i = 0; i < 75; i++) {
      const bytes = spoilBytes(sound, random);
      const { answer, code = 'read' } = await answerOrRefusal(() => readPhoto(bytes, 'spoilt'));
      codes.set(code, (codes.get(code) ?? 0) + 1);
      // a photo this small has too small a card: what is seen here is that finding it ends in words
      if (answer && i % 10 === 0) await answerOrRefusal(() => measurePhoto(answer.raster));
    }
    expect(codes.size).toBeGreaterThan(1);
  });
});

it('spoilt HEIC photos are read or refused, never more', async () => {
  for (const name of ['tiles-p3.heic', 'checksum.heic']) {
    const sound = await readFile(new URL(`../fixtures/${name}`, import.meta.url));
    const random = seededRandom(32);
    const codes = new Set<string>();
    for (let i = 0; i < 60; i++) {
      const { code = 'read' } = await answerOrRefusal(() => readPhoto(spoilBytes(sound, random), 'spoilt'));
      codes.add(code);
    }
    expect(codes.size).toBeGreaterThan(1);
  }
});

describe('a sound photo with spoilt company', () => {
  let raster: Raster;

  beforeAll(async () => {
    const bytes = await sharp(PHOTO).resize({ width: 1400 }).keepMetadata().jpeg().toBuffer();
    ({ raster } = await readPhoto(bytes));
  });

  it('is measured to begin with', async () => {
    expectSound(measurePhoto(raster));
  });

  it('and a bent card is measured or refused', async () => {
    const random = seededRandom(11);
    for (let asked = 0; asked < 12; ) {
      const { answer: card } = await answerOrRefusal(() => parseCard(spoilJson(OWN_CARD, random), 'bent'));
      if (!card) continue;
      asked++;
      const { answer } = await answerOrRefusal(() => measurePhoto(raster, { card }));
      if (answer) expectSound(answer);
    }
  });

  it('and bent panels are measured or refused', async () => {
    const panels = {
      format: 'sprayout-panels/1',
      panels: [
        {
          id: 'A',
          corners_px: [
            [700, 600],
            [800, 600],
            [800, 700],
            [700, 700],
          ],
        },
      ],
    };
    const random = seededRandom(12);
    for (let asked = 0; asked < 8; ) {
      const { answer } = await answerOrRefusal(() => parsePanels(spoilJson(panels, random), 'bent'));
      if (!answer) continue;
      asked++;
      const measured = await answerOrRefusal(() => measurePhoto(raster, { panels: answer }));
      if (measured.answer) expectSound(measured.answer);
    }
  });

  it.each<[string, MeasureOptions]>([
    [
      'corners off the photo',
      {
        corners_px: [
          [-500, -500],
          [-400, -500],
          [-400, -400],
          [-500, -400],
        ],
      },
    ],
    [
      'corners of a single pixel',
      {
        corners_px: [
          [10, 10],
          [11, 10],
          [11, 11],
          [10, 11],
        ],
      },
    ],
    [
      'corners that hold no number',
      {
        corners_px: [
          [Number.NaN, 10],
          [90, 10],
          [90, 90],
          [10, 90],
        ],
      },
    ],
    [
      'corners on the bare bench',
      {
        corners_px: [
          [10, 10],
          [60, 10],
          [60, 50],
          [10, 50],
        ],
      },
    ],
    ['every patch left out', { leave_out: OWN_CARD.patches.map((p) => p.id) }],
    [
      'all colours left out',
      { leave_out: OWN_CARD.patches.filter((p) => p.role === 'colour').map((p) => p.id) },
    ],
  ])('and %s is measured or refused', async (_, options) => {
    const { answer } = await answerOrRefusal(() => measurePhoto(raster, options));
    if (answer) expectSound(answer);
  });
});
