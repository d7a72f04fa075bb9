/** Rows as aligned columns, two spaces between; the first row is the heading. `right` names right-aligned columns. */
export function table(written: readonly (readonly string[])[], right: readonly number[] = []): string {
  const rows = written.map((row) => row.map(onOneLine));
  const columns = Math.max(...rows.map((r) => r.length));
  const widths = Array.from({ length: columns }, (_, c) => Math.max(...rows.map((r) => width(r[c] ?? ''))));
  return rows
    .map((row) =>
      row
        .map((cell, c) => {
          const space = ' '.repeat(widths[c] - width(cell));
          return right.includes(c) ? space + cell : cell + space;
        })
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}

/** A name may hold line breaks and what moves a terminal's cursor: neither belongs in a row. */
const onOneLine = (cell: string): string => cell.replace(/\p{Cc}+/gu, ' ');

function width(text: string): number {
  return [...text].length;
}

/** Text with every line moved in by two spaces. */
export function indented(text: string): string {
  return text.replace(/^(?=.)/gm, '  ');
}

/** `34.1 ±0.6` */
export function plusMinus(value: number, half: number, digits = 1): string {
  return `${number(value, digits)} ±${half.toFixed(digits)}`;
}

/** A number with a true minus sign, and no minus before zero. */
export function number(value: number, digits = 1): string {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '−');
}

/** A number with its sign, as differences are written. */
export function signed(value: number, digits = 1): string {
  const text = number(value, digits);
  return text.startsWith('−') || Number(text) === 0 ? text : `+${text}`;
}
