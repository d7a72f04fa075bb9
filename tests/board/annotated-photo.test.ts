import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { XMLValidator } from 'fast-xml-parser';
import pixelmatch from 'pixelmatch';
import { PNG } from 'pngjs';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { annotatedPhotoSvg, type PicturedPhoto, screenColour } from '../../src/core/board/index.ts';
import { textWidth, wrapText } from '../../src/core/board/lettering.ts';
import type { QuadPx, Raster } from '../../src/core/photo/types.ts';
import { boardLettering, writeAnnotatedPhoto } from '../../src/node/annotate.ts';
import { paint, rectangle } from '../photo/painted-area.ts';

const REFERENCE = new URL('../fixtures/annotated-photo.png', import.meta.url);

const CARD = rectangle(20, 18, 150, 100);
const PLACES: readonly (readonly [string, QuadPx])[] = [
  ['A', rectangle(25, 140, 70, 80)],
  ['B', rectangle(120, 140, 70, 80)],
  ['target', rectangle(215, 140, 70, 80)],
];
const MEASURED: PicturedPhoto = {
  card: { name: 'Test card', corners_px: CARD },
  white: 'D50/2',
  panels: [
    { id: 'A', corners_px: PLACES[0][1], lab: [40.1, 41.5, 28.2], u95: [0.8, 1.4, 2] },
    { id: 'B', corners_px: PLACES[1][1], lab: [55, 90, 70], u95: [1, 2.1, 3] },
    { id: 'target', corners_px: PLACES[2][1], lab: [38.9, -0.04, -38.2], u95: [0.7, 1.3, 2.6] },
  ],
};
const OPTIONS = {
  picture_px: 900,
  title: 'Žluť & <garnet>',
  check: 'the card was read to within 0.6 on average',
  names: new Map([
    ['A', 'Garnet 5:1, three coats on silver'],
    ['target', 'Enamel lid'],
  ]),
  differences: new Map([
    [
      'A',
      {
        de00: 3.61,
        interval95: [2.04, 4.4] as const,
        words: 'lighter, duller; you would see this side by side',
      },
    ],
    ['B', { de00: 21.2, interval95: [19.9, 23] as const, words: 'much redder; too far off to accept' }],
  ]),
};

function photo(bits: 8 | 16 = 8): Raster {
  const colours = [
    [0.2, 0.02, 0.02],
    [0.5, 0.05, 0.02],
    [0.03, 0.08, 0.3],
  ] as const;
  return paint({
    width_px: 310,
    height_px: 240,
    bits,
    noise: 0,
    floor: 0,
    light: (x, y) => {
      const on = ([, q]: (typeof PLACES)[number]): boolean =>
        x > q[0][0] && x < q[1][0] && y > q[0][1] && y < q[2][1];
      const k = PLACES.findIndex(on);
      if (k >= 0) return colours[k];
      return x > 20 && x < 170 && y > 18 && y < 118 ? [0.85, 0.85, 0.85] : [0.25, 0.24, 0.22];
    },
  });
}

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'picture-'));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

describe('the annotated picture', () => {
  it('looks as it did', async () => {
    const out = join(folder, 'picture.png');
    await writeAnnotatedPhoto(photo(), MEASURED, out, OPTIONS);
    if (process.env.UPDATE_PICTURES)
      await sharp(out).png({ compressionLevel: 9, palette: true }).toFile(REFERENCE.pathname);
    const now = PNG.sync.read(await readFile(out));
    const then = PNG.sync.read(await readFile(REFERENCE));
    expect([now.width, now.height]).toEqual([then.width, then.height]);
    const different = pixelmatch(now.data, then.data, undefined, now.width, now.height, { threshold: 0.15 });
    expect(different).toBeLessThan(0.001 * now.width * now.height);
  });

  it('shows each swatch in the colour measured, to the digit, and the photo where it says', async () => {
    const out = join(folder, 'swatches.png');
    await writeAnnotatedPhoto(photo(), MEASURED, out, { picture_px: 1800 });
    const { data, info } = await sharp(out).raw().toBuffer({ resolveWithObject: true });
    const at = (x: number, y: number): string =>
      `#${[...data.subarray(3 * (y * info.width + x), 3 * (y * info.width + x) + 3)].map((v) => v.toString(16).padStart(2, '0')).join('')}`;
    const { photoAt } = annotatedPhotoSvg(
      { width_px: 310, height_px: 240, photo: MEASURED },
      await boardLettering(),
    );
    const column = photoAt.x + photoAt.width + 28 + 20;
    expect(at(column, 28 + 30)).toBe(screenColour(MEASURED.panels[0].lab, 'D50/2').hex);
    // the surround: equal red, green and blue near L* 60
    expect(at(5, 5)).toBe('#919191');
    const middleOf = (q: QuadPx): [number, number] => [
      Math.round(photoAt.x + (photoAt.width * (q[0][0] + q[1][0])) / 2 / 310),
      Math.round(photoAt.y + (photoAt.width * (q[0][1] + q[2][1])) / 2 / 310),
    ];
    // .2, .02, .02 linear is 124, 39, 39 in sRGB
    expect(at(...middleOf(PLACES[0][1]))).toBe('#7c2727');
  });

  it('shows a 16 bit photo as the 8 bit one', async () => {
    const [a, b] = [join(folder, '8.png'), join(folder, '16.png')];
    await writeAnnotatedPhoto(photo(8), MEASURED, a, OPTIONS);
    await writeAnnotatedPhoto(photo(16), MEASURED, b, OPTIONS);
    const [x, y] = await Promise.all([a, b].map((path) => sharp(path).raw().toBuffer()));
    let most = 0;
    for (let i = 0; i < x.length; i++) most = Math.max(most, Math.abs(x[i] - y[i]));
    expect(most).toBeLessThanOrEqual(2);
  });

  it('is a whole, well-formed SVG whose text needs no font', async () => {
    const { svg } = annotatedPhotoSvg(
      {
        width_px: 310,
        height_px: 240,
        photo: MEASURED,
        ...OPTIONS,
        photoAddress: 'data:image/png;base64,AA"<',
      },
      await boardLettering(),
    );
    expect(XMLValidator.validate(svg)).toBe(true);
    expect(svg).not.toMatch(/<text|font-family/);
    expect(svg).not.toMatch(/NaN|undefined|Infinity/);
  });

  it('grows with the panels: forty fit without overlapping', async () => {
    const panels = Array.from({ length: 40 }, (_, i) => ({ ...MEASURED.panels[0], id: `p${i}` }));
    const few = annotatedPhotoSvg({ width_px: 310, height_px: 240, photo: MEASURED }, await boardLettering());
    const many = annotatedPhotoSvg(
      { width_px: 310, height_px: 240, photo: { ...MEASURED, panels } },
      await boardLettering(),
    );
    expect(many.height).toBeGreaterThan(few.height);
    const plates = [
      ...many.svg.matchAll(
        /<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)" fill="#ececec"/g,
      ),
    ].map((m) => m.slice(1).map(Number));
    expect(plates).toHaveLength(40);
    for (const [i, [x, y, w, h]] of plates.entries()) {
      expect(x + w).toBeLessThanOrEqual(many.width);
      expect(y + h).toBeLessThanOrEqual(many.height);
      for (const [px, py, pw, ph] of plates.slice(0, i))
        expect(x + w <= px + 0.1 || px + pw <= x + 0.1 || y + h <= py + 0.1 || py + ph <= y + 0.1).toBe(true);
    }
  });

  it('refuses a name it cannot write and leaves nothing half-written', async () => {
    await expect(writeAnnotatedPhoto(photo(), MEASURED, join(folder, 'x.gif'))).rejects.toMatchObject({
      code: 'usage',
    });
    await expect(writeAnnotatedPhoto(photo(), MEASURED, join(folder, 'no', 'x.png'))).rejects.toMatchObject({
      code: 'output-unwritable',
    });
    expect((await readdir(folder)).filter((name) => name.includes('.tmp') || name.startsWith('x'))).toEqual(
      [],
    );
  });
});

describe('lettering', () => {
  it('sets figures all as wide as each other', async () => {
    const lettering = await boardLettering();
    const widths = [...'0123456789'].map((digit) => textWidth(lettering, digit.repeat(4), 20, 'regular'));
    for (const width of widths) expect(width).toBeCloseTo(widths[0], 9);
  });

  it('knows accents, Greek and Cyrillic', async () => {
    const { regular } = await boardLettering();
    for (const character of 'ΔEéžßЖ±–−°…')
      expect(regular.some((f) => f.charToGlyphIndex(character) > 0)).toBe(true);
  });

  it('breaks words within a width and ends what is left in an ellipsis', async () => {
    const lettering = await boardLettering();
    const text =
      'much lighter, much yellower, much duller; you would see this side by side, too far off to accept';
    const lines = wrapText(lettering, text, 20, 'regular', 300, 2);
    expect(lines).toHaveLength(2);
    expect(lines[1].endsWith('…')).toBe(true);
    for (const line of lines) expect(textWidth(lettering, line, 20, 'regular')).toBeLessThanOrEqual(300);
    expect(wrapText(lettering, text, 20, 'regular', 300, 9).join(' ')).toBe(text);
  });
});

describe('colours on a screen', () => {
  it('are sRGB: published values of D50 Lab for its primaries and white', () => {
    // Lab D50 of the sRGB primaries by the Bradford-adapted matrix (Lindbloom, brucelindbloom.com), to a digit
    const cases = [
      [[100, 0, 0], '#ffffff'],
      [[54.29, 80.81, 69.89], '#ff0000'],
      [[87.82, -79.29, 80.99], '#00ff00'],
      [[29.57, 68.3, -112.03], '#0000ff'],
    ] as const;
    for (const [lab, hex] of cases) {
      const found = screenColour(lab, 'D50/2').hex;
      const part = (h: string, i: number): number => Number.parseInt(h.slice(1 + 2 * i, 3 + 2 * i), 16);
      for (let i = 0; i < 3; i++) expect(Math.abs(part(found, i) - part(hex, i))).toBeLessThanOrEqual(6);
    }
  });

  it('say when a colour is beyond the screen and keep its lightness', () => {
    const deep = screenColour([55, 100, 90], 'D50/2');
    expect(deep.isWithinScreen).toBe(false);
    expect(screenColour([50, 10, 10], 'D50/2').isWithinScreen).toBe(true);
    expect(screenColour([100, 0, 0], 'D65/2').hex).toBe('#ffffff');
  });
});
