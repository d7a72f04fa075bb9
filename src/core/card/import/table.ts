import type { Spectrum } from '../../color/index.ts';
import { type Columns, numberIn, tripleIn } from './columns.ts';
import { type InstrumentReading, readingsError } from './readings.ts';

/** A row of a table with the line it stands on, counted from 1. */
export interface TableRow {
  readonly line: number;
  readonly cells: readonly string[];
}

/** The readings of a table. Throws `readings-invalid` with the line for a cell that should be a number and is none. */
export function readingsOfTable(
  columns: Columns,
  rows: readonly TableRow[],
  white: string | undefined,
  fileName: string,
): readonly InstrumentReading[] {
  const wavelengths = columns.spectrum.map(({ nm }) => nm);
  const step_nm = evenStep(wavelengths, fileName);
  const readings = rows.map(({ line, cells }): InstrumentReading => {
    const where = `line ${line}`;
    const names = columns.names.map((i) => (cells[i] ?? '').trim());
    const check = (values: readonly number[], what: string): void => {
      const bad = values.findIndex((v) => Number.isNaN(v));
      if (bad >= 0)
        throw readingsError(
          fileName,
          `${where}, patch ${JSON.stringify(names[0] ?? '')}: ${what} is not a number`,
          'Each patch needs all its values; read that patch again or take the line out.',
        );
    };
    const values = columns.spectrum.map(({ column }) => numberIn(cells[column]));
    const lab = columns.lab && tripleIn(cells, columns.lab);
    const xyz = columns.xyz && tripleIn(cells, columns.xyz);
    check(values, 'a reflectance');
    if (lab) check(lab, 'L*, a* or b*');
    if (xyz) check(xyz, 'X, Y or Z');
    const spectrum: Spectrum | undefined = values.length
      ? { start_nm: wavelengths[0], step_nm, values }
      : undefined;
    return {
      where,
      names,
      ...(spectrum ? { spectrum } : {}),
      ...(lab ? { lab } : {}),
      ...(xyz ? { xyz } : {}),
      ...(white ? { white } : {}),
    };
  });
  return inUnits(readings);
}

function evenStep(wavelengths: readonly number[], fileName: string): number {
  if (wavelengths.length < 2) return 10;
  const step = wavelengths[1] - wavelengths[0];
  const odd = wavelengths.findIndex((nm, i) => i > 0 && Math.abs(nm - wavelengths[i - 1] - step) > 1e-6);
  if (odd < 0 && step > 0) return step;
  throw readingsError(
    fileName,
    `the wavelengths are not evenly spaced at ${wavelengths[Math.max(odd, 1)]} nm`,
    'Write the spectra with one column every 10 nm (or any other even step), none twice.',
  );
}

/** Reflectances and XYZ that a file gives in per cent, brought to 1 for the perfect diffuser. */
export function inUnits(readings: readonly InstrumentReading[]): readonly InstrumentReading[] {
  const largest = (pick: (r: InstrumentReading) => readonly number[]): number =>
    readings.reduce((most, r) => Math.max(most, ...pick(r)), 0);
  const isPercent = largest((r) => r.spectrum?.values ?? []) > 2;
  const isHundred = largest((r) => r.xyz ?? []) > 2;
  return readings.map((r) => ({
    ...r,
    ...(r.spectrum && isPercent
      ? { spectrum: { ...r.spectrum, values: r.spectrum.values.map((v) => v / 100) } }
      : {}),
    ...(r.xyz && isHundred ? { xyz: [r.xyz[0] / 100, r.xyz[1] / 100, r.xyz[2] / 100] as const } : {}),
  }));
}
