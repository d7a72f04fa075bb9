import { XMLParser, XMLValidator } from 'fast-xml-parser';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { readingsSchema } from '../../shared/schemas/readings.ts';
import { READINGS_FORMATS, readingsOf } from '../../src/core/board/index.ts';
import { readCgats } from '../../src/core/card/import/cgats.ts';
import { readCsv } from '../../src/core/card/import/csv.ts';
import { readCxf } from '../../src/core/card/import/cxf.ts';
import { comparePanels } from '../../src/core/compare/index.ts';
import { ensembleOf, jobOf, LID } from './board-job.ts';

const NAMES = ['first blend', 'A "quoted" & <odd> name', '=SUM(A1)', 'מזרק', 'two\nlines'];
const job = jobOf(NAMES.map((name, i) => ({ id: `p${i + 1}`, name })));
const colours = [
  ...job.panels.map((p, i) => [p.id, [40 + 3.21 * i, 37.6 - 20.1 * i, -33.4 + 11.7 * i]] as const),
  ['target', LID] as const,
];
const readings = readingsOf(
  job,
  comparePanels(ensembleOf(colours as Parameters<typeof ensembleOf>[0])),
  '2026-05-01',
);
const text = (ending: string): string => READINGS_FORMATS[ending](readings);

describe('measured colours for other programs', () => {
  it.each([
    ['.cgats', readCgats],
    ['.csv', readCsv],
    ['.cxf', readCxf],
  ] as const)('come back from %s by our own importer: ids, colours and white', (ending, read) => {
    const back = read(text(ending), `readings${ending}`, 'D65/10');
    expect(back.map((r) => r.names[0])).toEqual([...job.panels.map((p) => p.id), 'target']);
    for (const [i, { lab, white }] of back.entries()) {
      expect(white).toBe('D50/2');
      for (const axis of [0, 1, 2]) expect(lab?.[axis]).toBeCloseTo(colours[i][1][axis], 3);
    }
  });

  it('tell of no mix and no reducer on a bare ground, and of no reducer where nothing was mixed', () => {
    const [sprayed, bare, unmixed] = ['p1', 'p2', 'p3'].map((id) => ({ ...jobOf([{ id }]).panels[0] }));
    bare.coats = 0;
    delete unmixed.mix;
    const of = { ...job, panels: [sprayed, bare, unmixed] };
    const rows = readingsOf(
      of,
      comparePanels(ensembleOf(['p1', 'p2', 'p3'].map((id) => [id, LID]))),
    ).readings;
    expect(rows.map((r) => r.reducer_pct)).toEqual([5, undefined, undefined]);
    expect(rows.map((r) => r.parts !== undefined)).toEqual([true, false, false]);
    expect(rows.map((r) => r.carrier)).toEqual([5, undefined, undefined]);
  });

  it('as JSON are what the schema says', () => {
    expect(readingsSchema.parse(JSON.parse(text('.json')))).toEqual(readings);
    expect(readings.readings[0]).toMatchObject({
      ground: 'gold',
      parts: { garnet: 5, amber: 1 },
      coats: 3,
      clear: true,
    });
  });

  /* ANSI CGATS.17-2009 / ISO 28178, from memory: the identifier stands first; a column that is none of the
     standard's own is declared with KEYWORD; counts agree with the table; the STDEV columns are standard deviations. */
  it('as CGATS.17 begin with the identifier, declare what is not the standard’s own, and count right', () => {
    const lines = text('.cgats').split('\r\n');
    expect(lines[0]).toBe('CGATS.17');
    const format = lines[lines.indexOf('BEGIN_DATA_FORMAT') + 1].split(' ');
    expect(lines).toContain(`NUMBER_OF_FIELDS ${format.length}`);
    const data = lines.slice(lines.indexOf('BEGIN_DATA') + 1, lines.indexOf('END_DATA'));
    expect(lines).toContain(`NUMBER_OF_SETS ${data.length}`);
    expect(lines.indexOf('KEYWORD "SAMPLE_NAME"')).toBeLessThan(lines.indexOf('BEGIN_DATA_FORMAT'));
    for (const row of data) expect(row.match(/"[^"]*"|\S+/g)).toHaveLength(format.length);
    const [, , , , , sdL] = data[0].match(/"[^"]*"|\S+/g)!;
    expect(Number(sdL)).toBeCloseTo(readings.readings[0].u95[0] / 1.96, 2);
  });

  it('as CSV are one line a colour (RFC 4180), and no name is taken for a formula', () => {
    const { data } = Papa.parse<string[]>(text('.csv').trimEnd());
    expect(data).toHaveLength(1 + readings.readings.length);
    expect(new Set(data.map((row) => row.length)).size).toBe(1);
    expect(data[3][1]).toBe("'=SUM(A1)");
    expect(data[2][1]).toBe('A "quoted" & <odd> name');
    // a negative figure is no formula
    expect(data.flat().some((cell) => /^'-\d/.test(cell))).toBe(false);
  });

  /* ISO 17972-1 (CxF3), from memory: namespace, FileInformation before Resources, objects before specifications, ids
     that are XML names and referred to. */
  it('as CxF3 are well-formed, in the standard’s namespace and order, every colour with its specification', () => {
    const xml = text('.cxf');
    expect(XMLValidator.validate(xml)).toBe(true);
    const { CxF } = new XMLParser({
      ignoreAttributes: false,
      attributeNamePrefix: '@',
      removeNSPrefix: true,
      parseTagValue: false,
    }).parse(xml);
    expect(xml).toContain('<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core">');
    expect(Object.keys(CxF).filter((k) => !k.startsWith('@'))).toEqual(['FileInformation', 'Resources']);
    const objects = CxF.Resources.ObjectCollection.Object;
    const specification = CxF.Resources.ColorSpecificationCollection.ColorSpecification;
    expect(specification.TristimulusSpec).toEqual({ Illuminant: 'D50', Observer: '2_Degree' });
    for (const object of objects) {
      expect(object['@Id']).toMatch(/^[A-Za-z_][\w.-]*$/);
      expect(object.CreationDate).toBe('2026-05-01T00:00:00');
      expect(object.ColorValues.ColorCIELab['@ColorSpecification']).toBe(specification['@Id']);
    }
  });
});
