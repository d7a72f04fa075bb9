import { columnsOf } from './columns.ts';
import { type InstrumentReading, readingsError } from './readings.ts';
import { illuminantIn, observerIn, type StatedWhite, whiteInFreeText, whiteName } from './stated-white.ts';
import { readingsOfTable, type TableRow } from './table.ts';

/** Whether a text is in the keyword format of CGATS.17 (ISO 28178). */
export function isCgats(text: string): boolean {
  return /^\s*BEGIN_DATA_FORMAT\b/m.test(text);
}

/** Words of a line: apart at white space, quotes kept together, `#` begins a comment. */
function wordsOf(line: string): string[] {
  const words: string[] = [];
  for (const [word] of line.matchAll(/"[^"]*"|#.*|[^\s"]+/g)) {
    if (word.startsWith('#')) break;
    words.push(word.replace(/^"|"$/g, ''));
  }
  return words;
}

/** What a keyword line says of illuminant and observer: `ILLUMINANT "D65"`, `WEIGHTING_FUNCTION "OBSERVER, 2 degree"`. */
function whiteInKeyword([keyword, ...values]: readonly string[]): StatedWhite {
  const value = values.join(' ');
  const statement = `${keyword} ${value}`;
  if (!/illum|observ|weighting|measurement_source/i.test(statement)) return {};
  // a lone letter is an illuminant only where one is named; else it may be the instrument's lamp
  const illuminant = /illuminant/i.test(statement)
    ? illuminantIn(value.replace(/observer\w*\s*[=,]\s*\S+/gi, ''))
    : whiteInFreeText(value).illuminant;
  const observer = /observ/i.test(statement)
    ? observerIn(value.replace(/.*observ\w*\s*[=,]?\s*/i, ''))
    : undefined;
  return { ...(illuminant ? { illuminant } : {}), ...(observer ? { observer } : {}) };
}

interface Section {
  format: string[];
  rows: TableRow[];
}

/**
 * Readings in CGATS.17 / ISO 28178 text: the first table of the file that holds colours or spectra. Throws
 * `readings-invalid`.
 */
export function readCgats(text: string, fileName: string, otherwise: string): readonly InstrumentReading[] {
  let stated: StatedWhite = {};
  let section: Section = { format: [], rows: [] };
  const sections: Section[] = [];
  let inside: 'format' | 'data' | undefined;
  text.split(/\r\n|\n|\r/).forEach((line, i) => {
    const words = wordsOf(line);
    if (words.length === 0) {
      if (inside !== 'data') stated = { ...whiteInFreeText(line), ...stated };
      return;
    }
    const keyword = words[0].toUpperCase();
    if (keyword === 'BEGIN_DATA_FORMAT') {
      inside = 'format';
      section = { format: words.slice(1), rows: [] };
    } else if (keyword === 'BEGIN_DATA') {
      inside = 'data';
      sections.push(section);
    } else if (keyword === 'END_DATA_FORMAT' || keyword === 'END_DATA') inside = undefined;
    else if (inside === 'format') section.format.push(...words);
    else if (inside === 'data') section.rows.push({ line: i + 1, cells: words });
    else stated = { ...stated, ...whiteInKeyword(words) };
  });
  for (const { format, rows } of sections) {
    const columns = columnsOf(format);
    if (!columns) continue;
    for (const { line, cells } of rows)
      if (cells.length !== format.length)
        throw readingsError(
          fileName,
          `line ${line} has ${cells.length} values where the data format lists ${format.length}`,
          'Write the file again from the instrument’s program; names with spaces must stand in quotes.',
        );
    return readingsOfTable(columns, rows, whiteName(stated, otherwise), fileName);
  }
  throw readingsError(
    fileName,
    'no table with LAB_L, LAB_A, LAB_B, with XYZ_X, XYZ_Y, XYZ_Z or with spectral columns is in it',
    'Export Lab or spectral values from the instrument’s program.',
  );
}
