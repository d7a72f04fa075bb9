import { describe, expect, it } from 'vitest';
import { importReadings, readingsWarnings } from '../../src/core/card/import/index.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import type { CardDefinition, CardPatch } from '../../src/core/card/types.ts';
import { deltaE2000, viewing, xyzFromLab } from '../../src/core/color/index.ts';
import { SprayoutError } from '../../src/core/errors.ts';
import { seededRandom } from '../../src/core/math/random.ts';

/** The patches whose inks are on the card once; the others repeat N1 and N4. */
const ONCE = OWN_CARD.patches.filter((p) => p.replicate_of === undefined);
type Triple = [number, number, number];

/** A print that is a little off: what an instrument would say of it. */
const read = (p: CardPatch): Triple => {
  const [L, a, b] = p.lab as Triple;
  return [L * 0.98, a * 0.95 + 0.4, b * 0.95 - 0.6];
};
const number = (v: number): string => v.toFixed(3);
const nm = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);
const spectrum = (p: CardPatch): number[] => (p.spectrum?.values ?? []).slice(2, 33).map((v) => v * 0.97);

const find = (card: CardDefinition, id: string): CardPatch =>
  card.patches.find((p) => p.id === id) as CardPatch;

function refusal(text: string, name = 'card.txt'): SprayoutError {
  try {
    importReadings(text, name, OWN_CARD);
  } catch (error) {
    expect(error).toBeInstanceOf(SprayoutError);
    expect((error as SprayoutError).code).toBe('readings-invalid');
    return error as SprayoutError;
  }
  throw new Error('was accepted');
}

// the keyword format of CGATS.17 / ISO 28178: header, BEGIN_DATA_FORMAT, NUMBER_OF_SETS, BEGIN_DATA
function cgats({
  format,
  rows,
  header = [],
}: {
  format: string;
  rows: readonly string[];
  header?: readonly string[];
}): string {
  return [
    'CGATS.17',
    'ORIGINATOR "a bench"',
    'INSTRUMENTATION "sphere-less 45/0"',
    ...header,
    `NUMBER_OF_FIELDS ${format.split(' ').length}`,
    'BEGIN_DATA_FORMAT',
    format,
    'END_DATA_FORMAT',
    `NUMBER_OF_SETS ${rows.length}`,
    'BEGIN_DATA',
    ...rows,
    'END_DATA',
    '',
  ].join('\n');
}
const labRows = ONCE.map((p, i) => `${i + 1} ${p.id} ${read(p).map(number).join(' ')}`);
const LAB_CGATS = cgats({ format: 'SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B', rows: labRows });

function expectLab(card: CardDefinition): void {
  expect(card.source).toBe('measured');
  expect(card.patches).toHaveLength(OWN_CARD.patches.length);
  for (const patch of card.patches) {
    const original = find(OWN_CARD, patch.replicate_of ?? patch.id);
    read(original).forEach((v, i) => {
      expect((patch.lab as Triple)[i], patch.id).toBeCloseTo(v, 2);
    });
  }
}

describe('CGATS text (CGATS.17, ISO 28178)', () => {
  it('with Lab becomes a measured card in the same places', () => {
    const card = importReadings(LAB_CGATS, 'card.txt', OWN_CARD);
    expectLab(card);
    card.patches.forEach((p, i) => {
      expect(p.rect_mm).toEqual(OWN_CARD.patches[i].rect_mm);
      expect(p.spectrum).toBeUndefined();
      expect(p.u).toBeGreaterThanOrEqual(0.3);
      expect(p.u).toBeLessThanOrEqual(0.5);
    });
    expect(card.markers).toEqual(OWN_CARD.markers);
  });

  it('is read with Windows line ends, tabs, comments, quotes, decimal commas, a byte order mark and lower case names', () => {
    const rows = ONCE.map(
      (p, i) =>
        `${i + 1}\t"${p.id.toLowerCase()}"\t${read(p)
          .map((v) => number(v).replace('.', ','))
          .join('\t')}`,
    );
    rows.splice(4, 0, '# the operator sneezed', '');
    const text = cgats({ format: 'SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B', rows }).replaceAll('\n', '\r\n');
    expectLab(importReadings(`\uFEFF${text}`, 'card.txt', OWN_CARD));
  });

  it('may list its fields over several lines, with device values beside the Lab', () => {
    const rows = ONCE.map((p) => `1 2 3 ${p.id} ${read(p).map(number).join(' ')}`);
    const text = cgats({ format: 'RGB_R G B SAMPLE_ID\nLAB_L LAB_A LAB_B', rows });
    expectLab(importReadings(text, 'card.txt', OWN_CARD));
  });

  it('may name the patches by SAMPLE_ID alone', () => {
    const rows = ONCE.map((p) => `${p.id} ${read(p).map(number).join(' ')}`);
    expectLab(importReadings(cgats({ format: 'SAMPLE_ID LAB_L LAB_A LAB_B', rows }), 'card.txt', OWN_CARD));
  });

  it.each([
    ['SPECTRAL_NM_', 1],
    ['SPECTRAL_NM', 100],
    ['nm', 100],
    ['SPECTRAL_PCT_', 100],
    ['SPECTRAL_DEC', 1],
  ])(
    'with spectra in fields %s…, of %s for the perfect diffuser, gives spectra and their Lab',
    (prefix, full) => {
      const rows = ONCE.map(
        (p) =>
          `${p.id} ${spectrum(p)
            .map((v) => (v * full).toFixed(5))
            .join(' ')}`,
      );
      const card = importReadings(
        cgats({ format: `SAMPLE_NAME ${nm.map((w) => prefix + w).join(' ')}`, rows }),
        'card.txt',
        OWN_CARD,
      );
      for (const patch of card.patches) {
        const original = find(OWN_CARD, patch.replicate_of ?? patch.id);
        expect(patch.spectrum?.start_nm).toBe(400);
        expect(patch.spectrum?.step_nm).toBe(10);
        spectrum(original).forEach((v, i) => {
          expect(patch.spectrum?.values[i]).toBeCloseTo(v, 4);
        });
        // 3 % less light at all wavelengths is under 1.5 L* and no hue
        expect(deltaE2000(patch.lab as Triple, original.lab as Triple)).toBeLessThan(1.6);
      }
    },
  );

  it('with XYZ from 0 to 100 gives the Lab of the card’s white', () => {
    const white = viewing('D50/2').white;
    const rows = ONCE.map(
      (p) =>
        `${p.id} ${xyzFromLab(read(p), white)
          .map((v) => (v * 100).toFixed(6))
          .join(' ')}`,
    );
    expectLab(importReadings(cgats({ format: 'SAMPLE_NAME XYZ_X XYZ_Y XYZ_Z', rows }), 'card.txt', OWN_CARD));
  });

  it.each([
    ['ILLUMINANT "D65"', 'D65/2'],
    ['OBSERVER "10"', 'D50/10'],
    ['WEIGHTING_FUNCTION "ILLUMINANT, D65"', 'D65/2'],
    ['WEIGHTING_FUNCTION "OBSERVER, 10 degree"', 'D50/10'],
    ['MEASUREMENT_SOURCE "Illumination=D65 ObserverAngle=10degree WhiteBase=Abs"', 'D65/10'],
    ['# computed for D65/10', 'D65/10'],
  ])(
    'that states another white (%s) is refused while it has Lab alone, taken when it has spectra',
    (line, white) => {
      const error = refusal(
        cgats({ format: 'SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B', rows: labRows, header: [line] }),
      );
      expect(error.message).toContain(white);
      expect(error.hint).toMatch(/spectra/);
      const rows = ONCE.map(
        (p) =>
          `${p.id} 50 0 0 ${spectrum(p)
            .map((v) => v.toFixed(5))
            .join(' ')}`,
      );
      const format = `SAMPLE_NAME LAB_L LAB_A LAB_B ${nm.map((w) => `NM_${w}`).join(' ')}`;
      const card = importReadings(cgats({ format, rows, header: [line] }), 'card.txt', OWN_CARD);
      expect(deltaE2000(find(card, 'F1').lab as Triple, find(OWN_CARD, 'F1').lab as Triple)).toBeLessThan(
        1.6,
      );
    },
  );

  it('that states the card’s own white, D50 and 2°, is taken', () => {
    const header = [
      'MEASUREMENT_SOURCE "Illumination=D50 ObserverAngle=2degree"',
      'ILLUMINANT "D50"',
      'OBSERVER "2"',
    ];
    expectLab(
      importReadings(
        cgats({ format: 'SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B', rows: labRows, header }),
        'a',
        OWN_CARD,
      ),
    );
  });
});

describe('readings made without ultraviolet', () => {
  const codes = (text: string): string[] => readingsWarnings(text).map((w) => w.code);
  const told = ['readings-without-ultraviolet'];

  it('are told by the condition (ISO 13655) or the filter that the file names', () => {
    expect(codes('MEASUREMENT_SOURCE "Illumination=D50 Filter=UVcut"\nBEGIN_DATA\n')).toEqual(told);
    expect(codes('MEASUREMENT_CONDITION "M2"\nBEGIN_DATA\n')).toEqual(told);
    // a filter type of ISO 17972-1 (CxF3)
    expect(codes('<cc:DeviceFilter>Filter_UVExcluded</cc:DeviceFilter>')).toEqual(told);
    expect(codes('FILTER "UV_cut"\nBEGIN_DATA\n')).toEqual(told);
    expect(codes('MEASUREMENT_SOURCE "UVFilter=Yes"\nBEGIN_DATA\n')).toEqual(told);
    expect(codes('# lamp with UV off\nBEGIN_DATA\n')).toEqual(told);
    expect(codes('<cc:DeviceIllumination>M2_Incandescent</cc:DeviceIllumination>')).toEqual(told);
  });

  it('are not taken for such under M0 and M1, or by a patch of that name', () => {
    expect(codes('MEASUREMENT_CONDITION "M1"\nBEGIN_DATA\nM2 50 0 0\n')).toEqual([]);
    expect(codes('<cc:DeviceIllumination>M0_Incandescent</cc:DeviceIllumination>')).toEqual([]);
    expect(codes('SampleID,L,a,b\nM2,50,0,0\n')).toEqual([]);
    const object = (name: string): string =>
      `<cc:Object Name="${name}"><cc:DeviceIllumination>M1_Daylight</cc:DeviceIllumination></cc:Object>`;
    expect(codes(`<cc:CxF>${object('M1')}${object('M2')}</cc:CxF>`)).toEqual([]);
  });

  it.each([
    'FILTER "no UV filter"',
    '# measured M0, without UV filter',
    'FILTER "UV-cut: no"',
    '# mode M1 (not M2)',
    '# lamp UV output 100 %',
    'FILTER "Filter_None"',
  ])('are not taken for such where the file says %s', (line) => {
    expect(codes(`CGATS.17\n${line}\nBEGIN_DATA\n`)).toEqual([]);
  });
});

describe('repeated readings of a patch', () => {
  const withRows = (extra: readonly string[]): string =>
    cgats({ format: 'SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B', rows: [...labRows, ...extra] });

  it('are averaged, and their scatter over √n joins the uncertainty', () => {
    const [L, a, b] = read(find(OWN_CARD, 'N4'));
    const card = importReadings(
      withRows([`90 N4 ${L + 1} ${a} ${b}`, `91 N4 ${L + 2} ${a} ${b}`]),
      'a',
      OWN_CARD,
    );
    const patch = find(card, 'N4');
    expect((patch.lab as Triple)[0]).toBeCloseTo(L + 1, 2);
    const mean: Triple = [L + 1, a, b];
    const s2 = (deltaE2000([L, a, b], mean) ** 2 + deltaE2000([L + 2, a, b], mean) ** 2) / 2;
    expect(patch.u).toBeCloseTo(Math.sqrt(0.3 ** 2 + s2 / 3), 2);
  });

  it('in close agreement are worth more than one', () => {
    const [L, a, b] = read(find(OWN_CARD, 'N4'));
    const card = importReadings(withRows([`90 N4 ${L + 0.1} ${a} ${b}`]), 'a', OWN_CARD);
    expect(find(card, 'N4').u).toBeLessThan(find(card, 'N3').u);
  });

  it('far apart are refused with their line', () => {
    const [L, a, b] = read(find(OWN_CARD, 'N4'));
    const error = refusal(withRows([`90 N4 ${L + 13} ${a} ${b}`]));
    expect(error.message).toMatch(/line \d+, patch "N4".*mean/);
  });

  it('of white along the sides stand for themselves; the unread take the mean of all white read', () => {
    const [L, a, b] = read(find(OWN_CARD, 'N1'));
    const card = importReadings(withRows([`90 W3 ${L - 1} ${a} ${b}`]), 'a', OWN_CARD);
    expect((find(card, 'W3').lab as Triple)[0]).toBeCloseTo(L - 1, 2);
    expect((find(card, 'W2').lab as Triple)[0]).toBeCloseTo(L - 0.5, 2);
    expect(find(card, 'W2').u).toBeGreaterThanOrEqual(0.5);
  });
});

describe('CSV', () => {
  it.each([
    ['id,L,a,b', ',', '.'],
    ['Patch;L*;a*;b*', ';', ','],
    ['sample_name\tLAB_L\tLAB_A\tLAB_B', '\t', ','],
    ['"name","L* (D50/2)","a* (D50/2)","b* (D50/2)"', ',', '.'],
  ])('headed %s is read', (header, delimiter, point) => {
    const rows = ONCE.map((p) =>
      [p.id, ...read(p).map((v) => number(v).replace('.', point))].join(delimiter),
    );
    expectLab(importReadings(['# a remark', header, ...rows, ''].join('\r\n'), 'card.csv', OWN_CARD));
  });

  it('with wavelengths as columns gives spectra, whatever the order of the columns', () => {
    const back = [...nm].reverse();
    const rows = ONCE.map((p) =>
      [p.id, ...[...spectrum(p)].reverse().map((v) => (100 * v).toFixed(3))].join(','),
    );
    const card = importReadings(
      [['id', ...back.map((w) => `${w} nm`)].join(','), ...rows].join('\n'),
      'a.csv',
      OWN_CARD,
    );
    expect(find(card, 'F5').spectrum?.values[0]).toBeCloseTo(spectrum(find(OWN_CARD, 'F5'))[0], 4);
  });

  it('for D65 is refused', () => {
    const rows = ONCE.map((p) => [p.id, ...read(p).map(number)].join(','));
    expect(refusal(['id,L*(D65/10),a*(D65/10),b*(D65/10)', ...rows].join('\n')).message).toContain('D65/10');
  });
});

// CxF3 as in ISO 17972-1: objects with colour values, which name a colour specification
function cxf({
  objects,
  specification = '<cc:Illuminant>D50</cc:Illuminant><cc:Observer>2_Degree</cc:Observer>',
  prolog = '',
}: {
  objects: readonly string[];
  specification?: string;
  prolog?: string;
}): string {
  return `<?xml version="1.0" encoding="UTF-8"?>
${prolog}<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
  <cc:FileInformation><cc:Creator>a bench</cc:Creator></cc:FileInformation>
  <cc:Resources>
    <cc:ObjectCollection>
${objects.join('\n')}
    </cc:ObjectCollection>
    <cc:ColorSpecificationCollection>
      <cc:ColorSpecification Id="CS1">
        <cc:TristimulusSpec>${specification}</cc:TristimulusSpec>
        <cc:MeasurementSpec>
          <cc:MeasurementType>Spectrum_Reflectance</cc:MeasurementType>
          <cc:WavelengthRange StartWL="400" Increment="10"/>
        </cc:MeasurementSpec>
      </cc:ColorSpecification>
    </cc:ColorSpecificationCollection>
  </cc:Resources>
</cc:CxF>`;
}
const object = (p: CardPatch, values: string, i = 0): string =>
  `<cc:Object ObjectType="Target" Name="${p.id}" Id="o${i}"><cc:CreationDate>2026-01-01T00:00:00</cc:CreationDate><cc:ColorValues>${values}</cc:ColorValues></cc:Object>`;
const cielab = ([L, a, b]: readonly number[]): string =>
  `<cc:ColorCIELab ColorSpecification="CS1"><cc:L>${number(L)}</cc:L><cc:A>${number(a)}</cc:A><cc:B>${number(b)}</cc:B></cc:ColorCIELab>`;
const reflectance = (p: CardPatch, attributes = '', full = 1): string =>
  `<cc:ReflectanceSpectrum ColorSpecification="CS1" ${attributes}>${spectrum(p)
    .map((v) => (full * v).toFixed(5))
    .join(' ')}</cc:ReflectanceSpectrum>`;

describe('CxF3 (ISO 17972-1)', () => {
  it('with Lab is read', () => {
    expectLab(
      importReadings(
        cxf({ objects: ONCE.map((p, i) => object(p, cielab(read(p)), i)) }),
        'card.cxf',
        OWN_CARD,
      ),
    );
  });

  it('with another namespace prefix or none is read alike', () => {
    const text = cxf({ objects: ONCE.map((p, i) => object(p, cielab(read(p)), i)) });
    expectLab(
      importReadings(text.replaceAll('cc:', 'q:').replace('xmlns:cc', 'xmlns:q'), 'card.cxf', OWN_CARD),
    );
    expectLab(importReadings(text.replaceAll('cc:', '').replace('xmlns:cc', 'xmlns'), 'card.cxf', OWN_CARD));
  });

  it.each([
    ['at the spectrum', 'StartWL="400" Increment="10"'],
    ['in the colour specification', ''],
    ['half and half', 'StartWL="400"'],
  ])('takes first wavelength and step %s', (_, attributes) => {
    const card = importReadings(
      cxf({ objects: ONCE.map((p, i) => object(p, reflectance(p, attributes), i)) }),
      'a.cxf',
      OWN_CARD,
    );
    const patch = find(card, 'B5');
    expect(patch.spectrum).toMatchObject({ start_nm: 400, step_nm: 10 });
    expect(patch.spectrum?.values).toHaveLength(31);
    expect(patch.spectrum?.values[3]).toBeCloseTo(spectrum(find(OWN_CARD, 'B5'))[3], 4);
  });

  it('takes spectra in per cent, as other files may have them', () => {
    const objects = ONCE.map((p, i) => object(p, reflectance(p, '', 100), i));
    const patch = find(importReadings(cxf({ objects }), 'a.cxf', OWN_CARD), 'B5');
    expect(patch.spectrum?.values[3]).toBeCloseTo(spectrum(find(OWN_CARD, 'B5'))[3], 4);
  });

  it('for D65 and 10° is refused with Lab alone, taken with spectra', () => {
    const specification = '<cc:Illuminant>D65</cc:Illuminant><cc:Observer>10_Degree</cc:Observer>';
    expect(
      refusal(cxf({ specification, objects: ONCE.map((p) => object(p, cielab(read(p)))) })).message,
    ).toContain('D65/10');
    const both = ONCE.map((p) => object(p, reflectance(p) + cielab([50, 0, 0])));
    expect(importReadings(cxf({ specification, objects: both }), 'a', OWN_CARD).source).toBe('measured');
  });

  it('that declares a document type or entities is refused unread', () => {
    const prolog = '<!DOCTYPE cc [<!ENTITY a "aaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>\n';
    expect(refusal(cxf({ prolog, objects: ONCE.map((p) => object(p, cielab(read(p)))) })).message).toMatch(
      /document type/,
    );
  });

  it('keeps an entity in a name as it is written, but for the five of XML', () => {
    const odd = object(ONCE[0], cielab(read(ONCE[0]))).replace('Name="N1"', 'Name="&amp;x &file;"');
    expect(
      refusal(cxf({ objects: [odd, ...ONCE.slice(1).map((p) => object(p, cielab(read(p))))] })).message,
    ).toContain('&x &file;');
  });

  it.each([
    ['cut off', (t: string) => t.slice(0, 2000)],
    ['of another kind', () => '<svg xmlns="http://www.w3.org/2000/svg"><rect/></svg>'],
    ['with a letter for a number', (t: string) => t.replace(/<cc:L>[\d.]+/, '<cc:L>O1.3')],
    ['nested a thousand deep', () => '<a>'.repeat(1000) + '</a>'.repeat(1000)],
  ])('%s is refused', (_, spoil) => {
    refusal(spoil(cxf({ objects: ONCE.map((p) => object(p, cielab(read(p)))) })), 'card.cxf');
  });
});

describe('readings are refused, with line and patch, for', () => {
  const lineOf = (id: string): number => LAB_CGATS.split('\n').findIndex((l) => l.includes(` ${id} `)) + 1;
  const spoilt = (id: string, columns: string): string =>
    LAB_CGATS.split('\n')
      .map((l) => (l.includes(` ${id} `) ? `9 ${columns}` : l))
      .join('\n');

  it('a missing patch', () => {
    const text = LAB_CGATS.split('\n')
      .filter((l) => !/ (F3|B2) /.test(l))
      .join('\n');
    expect(refusal(text).message).toMatch(/patches F3, B2 missing/);
  });

  it('a patch that the card has not', () => {
    expect(refusal(spoilt('F3', 'F33 50 0 0')).message).toContain(
      `line ${lineOf('F3')}: the card has no patch "F33"`,
    );
  });

  it('a value that is no number', () => {
    for (const bad of ['NaN', '--', 'Infinity', '5O', '1e999x'])
      expect(refusal(spoilt('F3', `F3 ${bad} 0 0`)).message).toMatch(
        new RegExp(`line ${lineOf('F3')}, patch .*not a number`),
      );
  });

  it('a value out of range', () => {
    expect(refusal(spoilt('F3', 'F3 158 0 0')).message).toMatch(
      new RegExp(`line ${lineOf('F3')}, patch "F3": Lab 158.0`),
    );
    const rows = ONCE.map(
      (p) =>
        `${p.id} ${spectrum(p)
          .map((v, i) => (i === 3 && p.id === 'N6' ? -0.3 : v))
          .join(' ')}`,
    );
    const text = cgats({ format: `SAMPLE_NAME ${nm.map((w) => `nm${w}`).join(' ')}`, rows });
    expect(refusal(text).message).toMatch(/patch "N6": a reflectance of -0.3/);
  });

  it('a line with too few values', () => {
    expect(refusal(spoilt('F3', 'F3 50 0')).message).toMatch(/4 values where the data format lists 5/);
  });

  it('patches read in the wrong order', () => {
    const swap = (l: string): string => l.replace(/ (F1|F3) /, (_, id) => (id === 'F1' ? ' F3 ' : ' F1 '));
    expect(refusal(LAB_CGATS.split('\n').map(swap).join('\n')).message).toMatch(
      /reads \d+ ΔE2000 .* like "F3"/,
    );
  });

  it('spectra that leave out the red, or have uneven steps', () => {
    const short = nm.slice(0, 20);
    const rows = ONCE.map((p) => `${p.id} ${spectrum(p).slice(0, 20).join(' ')}`);
    expect(refusal(cgats({ format: `ID ${short.map((w) => `nm${w}`).join(' ')}`, rows })).message).toMatch(
      /400 to 590 nm/,
    );
    const uneven = ONCE.map((p) => `${p.id} ${spectrum(p).join(' ')}`);
    const odd = cgats({ format: `ID ${nm.map((w) => `nm${w === 500 ? 501 : w}`).join(' ')}`, rows: uneven });
    expect(refusal(odd).message).toMatch(/501 nm/);
  });

  it('a file that is empty, has no colours, or is something else', () => {
    for (const text of [
      '',
      '  \n',
      'hello',
      'CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID\nEND_DATA_FORMAT\nBEGIN_DATA\n1\nEND_DATA',
      '{"a":1}',
      '\u0000\u0001PNG',
      'id,L,a,b',
    ])
      refusal(text);
  });
});

describe('spoilt files', () => {
  const files: [string, string][] = [
    ['CGATS', LAB_CGATS],
    ['CSV', ['id;L;a;b', ...ONCE.map((p) => [p.id, ...read(p).map(number)].join(';'))].join('\n')],
    ['CxF3', cxf({ objects: ONCE.map((p, i) => object(p, reflectance(p) + cielab(read(p)), i)) })],
  ];
  it.each(files)('of %s, 150 ways, give a card or a refusal, never a crash', (_, text) => {
    const random = seededRandom(11);
    const at = (): number => Math.floor(random.uniform() * text.length);
    const odd = ['', '\n', '"', '<', '>', '&', ';', '1e99', '-', '\u0000', ' NaN ', '\t', '#', '](', '€'];
    for (let i = 0; i < 150; i++) {
      const [from, to] = [at(), at()].sort((a, b) => a - b);
      const piece = odd[Math.floor(random.uniform() * odd.length)];
      const cut =
        i % 3 === 0 ? text.slice(0, from) + piece + text.slice(to) : i % 3 === 1 ? text.slice(0, from) : '';
      const spoilt = cut || text.slice(0, from) + piece + text.slice(from + 1 + (i % 5));
      try {
        expect(importReadings(spoilt, 'spoilt', OWN_CARD).source).toBe('measured');
      } catch (error) {
        expect(error).toBeInstanceOf(SprayoutError);
      }
    }
  });
});
