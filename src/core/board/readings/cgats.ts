import type { ReadingsFile } from '../../../../shared/schemas/readings.ts';
import { STANDARD_DEVIATIONS, whiteParts } from './table.ts';

/** Columns, all of them identifiers of CGATS.17 but the name, which the file declares. */
const COLUMNS = [
  'SAMPLE_ID',
  'SAMPLE_NAME',
  'LAB_L',
  'LAB_A',
  'LAB_B',
  'STDEV_L',
  'STDEV_A',
  'STDEV_B',
] as const;

/** The format has no way to write a quote or a line's end inside a quoted string. */
function quoted(text: string): string {
  return `"${text.replace(/"/g, '’').replace(/\p{Cc}+/gu, ' ')}"`;
}

/** Measured colours as a table in the keyword format of ANSI CGATS.17 (ISO 28178). Lines end as the standard has them. */
export function cgatsText({ title, date, white, readings }: ReadingsFile): string {
  const { illuminant, observer } = whiteParts(white);
  return [
    'CGATS.17',
    'ORIGINATOR "sprayout"',
    `DESCRIPTOR ${quoted(title || 'Sprayed panels')}`,
    ...(date ? [`CREATED ${quoted(date)}`] : []),
    'INSTRUMENTATION "camera beside a reference card"',
    `WEIGHTING_FUNCTION "ILLUMINANT, ${illuminant}"`,
    `WEIGHTING_FUNCTION "OBSERVER, ${observer} degree"`,
    'KEYWORD "SAMPLE_NAME"',
    `NUMBER_OF_FIELDS ${COLUMNS.length}`,
    'BEGIN_DATA_FORMAT',
    COLUMNS.join(' '),
    'END_DATA_FORMAT',
    `NUMBER_OF_SETS ${readings.length}`,
    'BEGIN_DATA',
    ...readings.map(({ id, name, lab, u95 }) =>
      [
        quoted(id),
        quoted(name ?? id),
        ...lab.map((v) => v.toFixed(3)),
        ...u95.map((v) => (v / STANDARD_DEVIATIONS).toFixed(3)),
      ].join(' '),
    ),
    'END_DATA',
    '',
  ].join('\r\n');
}
