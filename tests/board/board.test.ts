import { createHash } from 'node:crypto';
import { PDFDict, PDFDocument, PDFName, PDFRawStream } from 'pdf-lib';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { withoutIsolates } from '../../src/core/board/bidi.ts';
import {
  type BoardFonts,
  type BoardPicture,
  boardHtml,
  boardLights,
  boardPdf,
  boardSvgs,
  embedProfile,
  missingOnBoard,
  notesLeftOut,
  outputProfile,
} from '../../src/core/board/index.ts';
import { SHEETS } from '../../src/core/board/page/format.ts';
import { boardPages } from '../../src/core/board/page/index.ts';
import { SprayoutError } from '../../src/core/errors.ts';
import { boardFonts } from '../../src/node/board-fonts.ts';
import { documentOf, jobOf, type Named } from './board-job.ts';
import { pdfTexts } from './pdf-text.ts';

let fonts: BoardFonts;
let picture: BoardPicture;

beforeAll(async () => {
  fonts = await boardFonts();
  const rgb = Uint8Array.from({ length: 3 * 64 * 64 }, (_, i) => [160, 66, 44][i % 3]);
  const jpeg = await sharp(rgb, { raw: { width: 64, height: 64, channels: 3 } })
    .jpeg({ quality: 95 })
    .toBuffer();
  picture = {
    mime: 'image/jpeg',
    bytes: embedProfile(jpeg, outputProfile('Display P3')),
    width_px: 64,
    height_px: 64,
    space: 'Display P3',
    isWithinSpace: true,
  };
});

const panels = (count: number): Named[] =>
  Array.from({ length: count }, (_, i) => ({ id: `p${i + 1}`, name: `Panel number ${i + 1}` }));

const flat = (pages: readonly string[][]): string => pages.flat().join('\n');

describe('a sample board', () => {
  it('says in its PDF, as live text, all that is known of a panel', async () => {
    const job = jobOf([{ id: 'p7', name: 'Garnet over gold', notes: 'Second coat a little wet.' }], {
      maker: 'The workshop',
    });
    const text = flat(await pdfTexts(await boardPdf(documentOf(job, { date: '1 May 2026' }), { fonts })));
    for (const said of [
      'Kettle lid',
      'The workshop, 1 May 2026',
      'Garnet over gold',
      '5 garnet candy',
      '1 amber candy',
      'Let down 5:1, 5\u00a0% reducer',
      'Three coats on pale gold, cleared',
      'Enamel lid',
      'L* 41.9 ±',
      'a* 37.6 ±',
      'b* 33.4 ±',
      'Second coat a little wet.',
      'isocyanates',
    ])
      expect(text).toContain(said);
    expect(text).toMatch(/Δ\n?E \d\.\d from the enamel lid, between \d\.\d and \d\.\d/);
  });

  it('embeds its fonts, cut down to the characters used, and each picture’s profile', async () => {
    const job = jobOf(panels(1));
    const bytes = await boardPdf(documentOf(job, { pictures: new Map([['p1', picture]]) }), { fonts });
    const pdf = await PDFDocument.load(bytes);
    const objects = pdf.context.enumerateIndirectObjects().map(([, object]) => object);
    const descriptors = objects.filter(
      (o) => o instanceof PDFDict && o.get(PDFName.of('Type')) === PDFName.of('FontDescriptor'),
    );
    expect(descriptors.length).toBeGreaterThanOrEqual(2);
    for (const d of descriptors as PDFDict[])
      expect(d.has(PDFName.of('FontFile2')) || d.has(PDFName.of('FontFile3'))).toBe(true);
    const image = objects.find(
      (o) => o instanceof PDFRawStream && o.dict.get(PDFName.of('Subtype')) === PDFName.of('Image'),
    ) as PDFRawStream;
    expect(image.dict.get(PDFName.of('ColorSpace'))?.toString()).toMatch(/ICCBased/);
    // the JPEG as it was made: nothing recompressed
    expect(Buffer.from(image.contents).equals(Buffer.from(picture.bytes))).toBe(true);
    expect(bytes.length).toBeLessThan(60_000);
  });

  it('lays out a hundred panels, each once, whatever number a sheet holds, on A4 and letter', async () => {
    const document = documentOf(jobOf(panels(100)));
    for (const [perSheet, paper, sheets] of [
      [12, 'a4', 9],
      [6, 'letter', 17],
    ] as const) {
      const pages = await pdfTexts(await boardPdf(document, { fonts, perSheet, paper }));
      expect(pages).toHaveLength(sheets);
      const text = flat(pages);
      for (let i = 1; i <= 100; i++)
        expect(text.split('\n').filter((t) => t === `Panel number ${i}`)).toHaveLength(1);
      // said once, not on every sheet
      expect(text.match(/isocyanates/g)).toHaveLength(1);
      expect(pages[0]).toContain(`Sheet 1 of ${sheets}`);
    }
  });

  it.each([1, 2, 3, 4, 5, 6, 7, 9, 12])('keeps all it draws on the paper, with %i on a sheet', (perSheet) => {
    const wordy = Array.from({ length: perSheet }, (_, i) => ({
      id: `p${i}`,
      name:
        i % 2
          ? 'W'.repeat(300)
          : 'a name of several words that goes on for longer than anyone would want it to',
      notes: 'note '.repeat(400),
    }));
    const [svg] = boardSvgs(documentOf(jobOf(wordy)), { fonts, perSheet });
    const within = (v: number, from: number, to: number): boolean => v >= from && v <= to;
    const rectangles = [
      ...svg.matchAll(/<rect x="([-\d.]+)" y="([-\d.]+)" width="([-\d.]+)" height="([-\d.]+)"/g),
    ].map(([, ...numbers]) => numbers.map(Number));
    expect(rectangles.length).toBeGreaterThan(perSheet);
    expect(
      rectangles.filter(
        ([x, y, w, h]) =>
          !(within(x, 0, 120) && within(y, 0, 150) && w > 0 && h > 0 && x + w <= 120 && y + h <= 150),
      ),
    ).toEqual([]);
    const points = [...svg.matchAll(/<path fill="#[0-9a-f]{6}" d="([^"]*)"/g)].flatMap(([, d]) =>
      [...d.matchAll(/[ML](-?[\d.]+)[ ,]?(-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)]),
    );
    expect(points.length).toBeGreaterThan(1000);
    expect(points.filter(([x, y]) => !(within(x, 0, 120) && within(y, -Infinity, 150)))).toEqual([]);
  });

  it.each(['a4', 'letter', 'picture'] as const)('cuts no figure short on %s, however small', (paper) => {
    const far = panels(12).map((p, i) => ({ ...p, lab: [67 + i, 2.5, 47 + i] as const }));
    const lettering = { ...fonts.lettering, figures: 'proportional' } as const;
    for (const perSheet of [4, 5, 6, 9, 12]) {
      const pages = boardPages(documentOf(jobOf(far)), SHEETS[paper], lettering, perSheet);
      const figures = pages
        .flatMap(({ items }) => items.flatMap((item) => (item.kind === 'text' ? [item.text] : [])))
        .filter((text) => /^ΔE \d/.test(text));
      expect(figures).toHaveLength(12);
      for (const figure of figures)
        expect(figure).toMatch(/^ΔE \d\d\.\d(, between \d\d\.\d and \d\d\.\d| \(\d\d\.\d–\d\d\.\d\))?$/);
    }
  });

  it('says how a panel and its target stand from light to light as Lights does, and what each sentence is about', () => {
    const job = jobOf([{ id: 'p7', name: 'Panel 7' }], {
      photos: [
        { id: 'u1', file: 'a.jpg', light: 'sun', name: 'IMG 1' },
        { id: 'u2', file: 'b.jpg', light: 'shop', name: 'IMG 2' },
        { id: 'u3', file: 'c.jpg', light: 'sun', name: 'IMG 3' },
      ],
    });
    const light = { cct_k: 5000, duv: 0, view: 'face' };
    const shift = { de00: 0.6, interval95: [0, 1.9] };
    const lights = boardLights(
      {
        photos: [
          { ...light, id: 'u1', light: 'sun' },
          { ...light, id: 'u2', light: 'shop' },
          { ...light, id: 'u3', light: 'sun' },
        ],
        panels: [
          {
            panel: 'p7',
            by_photo: [],
            shifts: [
              { ...shift, from: 'u1', to: 'u3', words: 'looks the same in the sun and in the sun' },
              {
                ...shift,
                from: 'u1',
                to: 'u2',
                words: 'no change told between the sun (photo u1) and the shop light, at most one of 1.9',
              },
            ],
          },
        ],
        pairs: [
          {
            a: 'p7',
            b: 'target',
            by_light: ['u1', 'u2'].map((photo) => ({ ...shift, photo, light: '' })),
            verdict: 'parts',
            words: 'differs another way under the shop light than in the sun: judge it in both',
          },
        ],
      } as unknown as Parameters<typeof boardLights>[0],
      job,
    );
    const document = documentOf(job, { lights });
    const [beside, itself, ...more] = document.panels[0].lights.map(withoutIsolates);
    expect(beside).toBe(
      'Beside the enamel lid it parts: differs another way under the shop light than in the sun; judge it in both.',
    );
    expect(itself).toBe(
      'The panel by itself: no change told between the sun (photo IMG 1) and the shop light, at most one of 1.9 (ΔE 0.6, between 0.0 and 1.9).',
    );
    expect(more).toEqual([]);
    for (const shown of [boardHtml(document, fonts), boardSvgs(document, { fonts })[0]])
      expect(shown).not.toMatch(/p7,|>p7</);
  });

  it.each(['a4', 'letter', 'picture'] as const)(
    'cuts short nothing that it says of lights on %s',
    (paper) => {
      const job = jobOf([
        { id: 'p7', name: 'Panel 7' },
        { id: 'p8', name: 'Panel 8' },
      ]);
      const words = 'differs another way under the shop light than in the sun: judge it in both';
      const shift = { words: `no change told: ${words}`, de00: 1, interval95: [0, 2] as const };
      for (const perSheet of [1, 2])
        for (const count of [0, 1, 2, 3]) {
          const told = { pair: { verdict: 'parts' as const, words }, shifts: Array(count).fill(shift) };
          const document = documentOf(job, { lights: new Map(job.panels.map((p) => [p.id, told])) });
          for (const { items } of boardPages(document, SHEETS[paper], fonts.lettering, perSheet)) {
            const said = items
              .flatMap((item) => (item.kind === 'text' ? [withoutIsolates(item.text)] : []))
              .join(' ');
            const times = (part: string): number => said.split(part).length - 1;
            expect(times('The panel by itself:')).toBe(times('(ΔE 1.0, between 0.0 and 2.0).'));
            expect(times('Beside the enamel lid it parts:')).toBe(times('in the sun; judge it in both.'));
            if (perSheet === 1) expect(times('Beside the enamel lid it parts:')).toBe(1);
          }
        }
    },
  );

  it('shows the swatch where there is no photo, and says that it is one', async () => {
    const text = flat(await pdfTexts(await boardPdf(documentOf(jobOf(panels(1))), { fonts })));
    expect(text).toContain('Swatch of the measured colour');
    expect(text).not.toMatch(/photo, corrected/i);
  });

  it('names the notes that a sheet has no room for, and none where there is room', () => {
    const short = documentOf(jobOf([{ id: 'p1', name: 'One' }]), { notes: 'Polished after a week.' });
    const long = documentOf(jobOf([{ id: 'p1', name: 'One' }]), {
      notes: 'Polished again and again. '.repeat(60),
    });
    for (const paper of ['a4', undefined] as const) {
      expect(notesLeftOut(short, { fonts, paper })).toEqual([]);
      expect(notesLeftOut(long, { fonts, paper })).toEqual(['board']);
    }
    expect(boardHtml(long, fonts).match(/Polished again/g)).toHaveLength(60);
  });

  it('says when a colour is stronger than the file can show', async () => {
    const strong = jobOf([{ id: 'p1', lab: [50, 60, 75] }]);
    const text = flat(await pdfTexts(await boardPdf(documentOf(strong), { fonts })));
    expect(text.replace(/\n/g, ' ')).toMatch(/More saturated than this file can show/);
    expect(boardHtml(documentOf(strong), fonts)).toMatch(/More saturated than this file can show/);
    const wide = documentOf(strong, { pictures: new Map([['p1', picture]]) });
    expect(boardHtml(wide, fonts)).toMatch(/the picture needs a Display P3 screen/);
  });

  it('is the same to the byte when made again', async () => {
    const document = documentOf(jobOf(panels(3)));
    const digest = async (): Promise<string> =>
      createHash('sha256')
        .update(await boardPdf(document, { fonts }))
        .digest('hex');
    expect(await digest()).toBe(await digest());
  });

  it('refuses panels it does not know, a sheet of none, and a job with nothing measured', async () => {
    const job = jobOf(panels(2));
    expect(() => documentOf(job, { panels: ['p9'] })).toThrow(/no panel "p9"/);
    await expect(async () => boardPdf(documentOf(job), { fonts, perSheet: 0 })).rejects.toThrow(
      SprayoutError,
    );
    expect(() => documentOf({ ...job, panels: [] })).toThrow(/no measured panel/);
  });
});

describe('names that are hard to set', () => {
  const HEBREW = 'מזרק זהב 5:1';

  it('are copied from the PDF as they were written: right to left, in full up to 300 characters, with characters the typeface lacks', async () => {
    const long = 'Deep garnet over pale gold with a long story '.repeat(7).slice(0, 300).trim();
    const job = jobOf([
      { id: 'p1', name: HEBREW },
      { id: 'p2', name: long },
      { id: 'p3', name: 'Žluť → 金 🎨' },
    ]);
    const text = await pdfTexts(await boardPdf(documentOf(job), { fonts, perSheet: 1 }));
    // a reader finds the characters where they stand, from left to right, and puts them in order itself
    expect(text[0].join('')).toContain(`5:1 ${[...'מזרק זהב'].reverse().join('')}`);
    expect(text[1].join(' ')).toContain(long);
    expect(text[2].join('')).toContain('Žluť → 金 🎨');
  });

  it('are named where the typeface lacks a character', () => {
    const job = jobOf([{ id: 'p1', name: 'Žluť 金 ש' }]);
    expect(missingOnBoard(documentOf(job), fonts)).toEqual(['金', 'ש']);
    expect(
      missingOnBoard(documentOf(jobOf([{ id: 'p1', name: 'Жёлтый, Ωmega, Việt, ﬁne?' }])), fonts),
    ).toEqual(['ﬁ']);
  });

  it('stand as boxes in the picture', () => {
    const [plain] = boardSvgs(documentOf(jobOf([{ id: 'p1', name: 'x' }])), { fonts });
    const [boxed] = boardSvgs(documentOf(jobOf([{ id: 'p1', name: 'x金' }])), { fonts });
    expect(boxed).not.toBe(plain);
    expect(boxed).toMatch(/h[\d.]+v-[\d.]+h-[\d.]+z/);
  });

  it('cannot turn or hide what stands beside them', () => {
    const job = jobOf([{ id: 'p1', name: 'safe\u202egnp.exe\u2066\u0000\u200b name' }]);
    expect(documentOf(job).panels[0].name).toBe('safegnp.exe name');
  });
});

describe('the web page', () => {
  it('is safe against markup in every text of the user', () => {
    const evil = `"><img src=x onerror=alert(1)><script>alert(2)</script>`;
    const job = jobOf([{ id: evil.slice(0, 60), name: evil, notes: evil }], {
      name: evil,
      maker: evil,
      notes: evil,
      target: { name: evil, measured: [{ lab: [38.9, 41.8, 39.5] }] },
    });
    const html = boardHtml(documentOf(job, { date: evil }), fonts);
    expect(html).not.toMatch(/<script|<img src=x|onerror=alert\(1\)>/);
    expect(html).toContain('&#60;script&#62;');
  });

  it('lets in nothing but its own style, by its hash, and its own pictures and fonts', () => {
    const html = boardHtml(documentOf(jobOf(panels(1))), fonts);
    const [, policy] = /http-equiv="Content-Security-Policy" content="([^"]+)"/.exec(html)!;
    const [, style] = /<style>([\s\S]*?)<\/style>/.exec(html)!;
    expect(policy).toContain(`style-src 'sha256-${createHash('sha256').update(style).digest('base64')}'`);
    expect(policy).toContain("default-src 'none'");
    expect(html).not.toMatch(/\sstyle="/);
    expect(html.replace(/data:[^")]+/g, '')).not.toMatch(/(src|href|url\()=?["']?https?:/);
  });

  it('gives a name from right to left its own direction', () => {
    const html = boardHtml(
      documentOf(
        jobOf([{ id: 'p1', name: HEBREW }], {
          target: { name: HEBREW, measured: [{ lab: [38.9, 41.8, 39.5] }] },
        }),
      ),
      fonts,
    );
    expect(html).toContain(`<h2 dir="auto">${HEBREW}</h2>`);
    expect(html).toContain(`from <bdi>the ${HEBREW}</bdi>, between`);
  });
  const HEBREW = 'מזרק זהב';
});
