import Papa from 'papaparse';
import { type Columns, columnsOf } from './columns.ts';
import { type InstrumentReading, readingsError } from './readings.ts';
import { whiteInFreeText, whiteName } from './stated-white.ts';
import { readingsOfTable, type TableRow } from './table.ts';

/** Semicolons and tabs leave the comma to decimals. */
function delimiterOf(header: string): string {
  if (header.includes('\t')) return '\t';
  return header.includes(';') ? ';' : ',';
}

function cellsOf(line: string): readonly string[] {
  const { data } = Papa.parse<string[]>(line, { delimiter: delimiterOf(line) });
  return data[0] ?? [];
}

/**
 * Readings in a table with a header line: a column `id`, `name`, `patch` or `sample`, and L, a, b, or X, Y, Z, or one
 * column a wavelength. Lines above the header and lines that begin with # are remarks. Throws `readings-invalid`.
 */
export function readCsv(text: string, fileName: string, otherwise: string): readonly InstrumentReading[] {
  const lines = text.split(/\r\n|\n|\r/);
  let columns: Columns | undefined;
  const header = lines.findIndex((line) => {
    columns = line.startsWith('#') ? undefined : columnsOf(cellsOf(line));
    return columns !== undefined;
  });
  if (!columns)
    throw readingsError(
      fileName,
      'no header line names L, a and b or wavelengths',
      'The first line must name the columns, for instance: id,L,a,b or id,380,390,400 and so on.',
    );
  if (columns.names.length === 0)
    throw readingsError(
      fileName,
      `line ${header + 1} has no column for the patch`,
      'Name the column with the patch names "id".',
    );
  const delimiter = delimiterOf(lines[header]);
  const rows = lines.flatMap((line, i): TableRow[] => {
    if (i <= header || line.trim() === '' || line.startsWith('#')) return [];
    const cells = Papa.parse<string[]>(line, { delimiter }).data[0] ?? [];
    return cells.every((c) => c.trim() === '') ? [] : [{ line: i + 1, cells }];
  });
  const stated = whiteInFreeText(lines.slice(0, header + 1).join(' '));
  return readingsOfTable(columns, rows, whiteName(stated, otherwise), fileName);
}
