/** A card definition from the readings of an instrument. */
import { parseCard } from '../definition.ts';
import type { CardDefinition } from '../types.ts';
import { isCgats, readCgats } from './cgats.ts';
import { readCsv } from './csv.ts';
import { readCxf } from './cxf.ts';
import { measuredCard } from './measured-card.ts';
import { readingsError } from './readings.ts';

export { readingsWarnings } from './ultraviolet.ts';

/**
 * The base card as an instrument reads it: `text` is CGATS.17 / ISO 28178 text, a table with a header line (CSV), or
 * CxF3 (ISO 17972-1), told apart by content. Spectra are preferred to Lab, Lab to XYZ. The definition has the base's
 * places and ids, `source: "measured"` and a `u` of some .3 to .5 ΔE2000. Throws `readings-invalid` with line and
 * patch: a patch missing or unknown, no number, out of range, Lab for another white than the card's without spectra.
 */
export function importReadings(text: string, fileName: string, base: CardDefinition): CardDefinition {
  const clean = text.replace(/^\uFEFF/, '');
  if (clean.trim() === '') throw readingsError(fileName, 'it is empty', 'Export the readings again.');
  const read = clean.trimStart().startsWith('<') ? readCxf : isCgats(clean) ? readCgats : readCsv;
  const readings = read(clean, fileName, base.white);
  if (readings.length === 0)
    throw readingsError(fileName, 'it holds no readings', 'Export the readings again.');
  return parseCard(measuredCard(readings, fileName, base), fileName);
}
