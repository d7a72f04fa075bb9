/** Measured colours in the formats that other programs read. */
import type { ReadingsFile } from '../../../../shared/schemas/readings.ts';
import { cgatsText } from './cgats.ts';
import { csvText } from './csv.ts';
import { cxfText } from './cxf.ts';

export { readingsOf } from './table.ts';

/** By the ending of a file's name. */
export const READINGS_FORMATS: Readonly<Record<string, (readings: ReadingsFile) => string>> = {
  '.cgats': cgatsText,
  '.csv': csvText,
  '.cxf': cxfText,
  '.json': (readings) => `${JSON.stringify(readings, null, 2)}\n`,
};
