import Papa from 'papaparse';
import type { ReadingsFile } from '../../../../shared/schemas/readings.ts';

/** Readers that take a table line by line would break a row inside a name. */
const oneLine = (text: string): string => text.replace(/\p{Cc}+/gu, ' ');

/**
 * Measured colours as a table with a header line (RFC 4180), the white in the headings. Texts that a spreadsheet would take
 * for a formula get an apostrophe before them.
 */
export function csvText({ white, readings }: ReadingsFile): string {
  const tints = [...new Set(readings.flatMap((r) => Object.keys(r.parts ?? {})))];
  const heading = [
    'id',
    'name',
    ...['L*', 'a*', 'b*'].map((axis) => `${axis} (${white})`),
    'u95 of L*',
    'u95 of a*',
    'u95 of b*',
    'ground',
    ...tints.map((tint) => `parts of ${tint}`),
    'carrier to one',
    'reducer %',
    'coats',
    'clear',
  ];
  const rows = readings.map((r) => [
    oneLine(r.id),
    oneLine(r.name ?? ''),
    ...r.lab.map((v) => v.toFixed(3)),
    ...r.u95.map((v) => v.toFixed(3)),
    r.ground ?? '',
    ...tints.map((tint) => r.parts?.[tint] ?? ''),
    r.carrier ?? '',
    r.reducer_pct ?? '',
    r.coats ?? '',
    r.clear === undefined ? '' : r.clear ? 'yes' : 'no',
  ]);
  // negative numbers are no formulas
  const isFormula = /^(?![-+]?\d+(\.\d+)?$)[=+\-@\t\r].*$/;
  return `${Papa.unparse({ fields: heading, data: rows }, { escapeFormulae: isFormula, newline: '\r\n' })}\r\n`;
}
