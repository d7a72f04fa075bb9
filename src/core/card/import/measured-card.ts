import { LONGEST_NAME } from '../../../../shared/schemas/card.ts';
import { deltaE2000, labFromReflectance, labFromXyz, toGrid, viewing } from '../../color/index.ts';
import { labOfPatch } from '../patch-colour.ts';
import type { CardDefinition, CardPatch } from '../types.ts';
import { averageColour, type Colour } from './average.ts';
import { type InstrumentReading, readingsError } from './readings.ts';

/** A patch not read itself, but printed with the same inks as one that was. */
const U_REPEATED_PRINT = 0.5;
/** A reading further than this from the mean of its patch's readings was taken elsewhere. */
const MOST_APART = 3;
/** A reading this far from what the card states, and three times nearer to another patch, was taken elsewhere. */
const WRONG_PATCH = 20;

/**
 * The base card with the colours that an instrument read: same places, `source: "measured"`, repeated readings of a
 * patch averaged. A patch that repeats another (white and grey along the sides) may go unread.
 */
export function measuredCard(
  readings: readonly InstrumentReading[],
  fileName: string,
  base: CardDefinition,
): CardDefinition {
  const byPatch = groupByPatch(readings, fileName, base);
  const colours = new Map<string, readonly Colour[]>();
  for (const [id, own] of byPatch)
    colours.set(
      id,
      own.map((r) => colourOf(r, id, base.white, fileName)),
    );
  refuseMissing(colours, base, fileName);
  refuseSwapped(colours, base, fileName);
  const patches = base.patches.map((patch) => measuredPatch(patch, colours, base, fileName));
  return { ...base, name: `${base.name} (${fileName})`.slice(0, LONGEST_NAME), source: 'measured', patches };
}

/** Readings by the id of the patch they name. */
function groupByPatch(
  readings: readonly InstrumentReading[],
  fileName: string,
  base: CardDefinition,
): ReadonlyMap<string, readonly InstrumentReading[]> {
  const ids = new Map(base.patches.map((p) => [p.id.toLowerCase(), p.id]));
  const idIn = (name: string | undefined): string | undefined => ids.get((name ?? '').trim().toLowerCase());
  // of several columns of names, the one that knows most patches of this card
  const columns = readings[0]?.names.map((_, c) => readings.filter((r) => idIn(r.names[c])).length) ?? [];
  const column = columns.indexOf(Math.max(...columns));
  const groups = new Map<string, InstrumentReading[]>();
  for (const reading of readings) {
    const id = idIn(reading.names[column]);
    if (id === undefined)
      throw readingsError(
        fileName,
        `${reading.where}: the card has no patch ${JSON.stringify(reading.names[Math.max(column, 0)] ?? '')}`,
        `Name the patches as the sheet does: ${base.patches
          .slice(0, 3)
          .map((p) => p.id)
          .join(', ')} and so on.`,
      );
    const group = groups.get(id);
    if (group) group.push(reading);
    else groups.set(id, [reading]);
  }
  return groups;
}

function colourOf(reading: InstrumentReading, id: string, white: string, fileName: string): Colour {
  const { where, spectrum } = reading;
  const refuse = (what: string, hint: string): never => {
    throw readingsError(fileName, `${where}, patch ${JSON.stringify(id)}: ${what}`, hint);
  };
  if (spectrum) {
    const end_nm = spectrum.start_nm + spectrum.step_nm * (spectrum.values.length - 1);
    if (spectrum.start_nm > 420 || spectrum.start_nm < 300 || end_nm < 680 || spectrum.step_nm > 20)
      refuse(
        `its spectrum has ${spectrum.values.length} values from ${spectrum.start_nm} to ${end_nm} nm`,
        'Spectra must cover 420 to 680 nm in steps of at most 20 nm.',
      );
    const odd = spectrum.values.find((v) => !(v >= -0.05 && v <= 2));
    if (odd !== undefined)
      refuse(`a reflectance of ${odd} is out of range`, 'Reflectances run from 0 to 1, or from 0 to 100 %.');
    return { where, spectrum, lab: labFromReflectance(toGrid(spectrum), viewing(white)) };
  }
  if (reading.white !== undefined && reading.white !== white)
    refuse(
      `its values are for ${reading.white}, the card's for ${white}`,
      `Export Lab values for ${white}, or spectra, which can be converted; Lab values alone can't.`,
    );
  const lab = reading.lab ?? (reading.xyz && labFromXyz(reading.xyz, viewing(white).white));
  if (!lab) return refuse('it has neither Lab, XYZ nor a spectrum', 'Export Lab or spectral values.');
  if (!(lab[0] >= -1 && lab[0] <= 105 && Math.abs(lab[1]) <= 150 && Math.abs(lab[2]) <= 150))
    refuse(
      `Lab ${lab.map((v) => v.toFixed(1)).join(', ')} is out of range`,
      'L* runs from 0 to 100, a* and b* from about −128 to 128.',
    );
  return { where, lab };
}

/** The patch whose inks a patch is printed with. */
function originalOf(patch: CardPatch): string {
  return patch.replicate_of ?? patch.id;
}

function sameInks(patch: CardPatch, colours: ReadonlyMap<string, readonly Colour[]>, base: CardDefinition) {
  return base.patches
    .filter((p) => originalOf(p) === originalOf(patch))
    .flatMap((p) => colours.get(p.id) ?? []);
}

function refuseMissing(
  colours: ReadonlyMap<string, readonly Colour[]>,
  base: CardDefinition,
  fileName: string,
): void {
  const missing = base.patches.filter((p) => sameInks(p, colours, base).length === 0).map((p) => p.id);
  if (missing.length === 0) return;
  const few = missing.slice(0, 6).join(', ');
  throw readingsError(
    fileName,
    `${missing.length === 1 ? 'patch' : 'patches'} ${few}${missing.length > 6 ? ` and ${missing.length - 6} more` : ''} missing`,
    'Read every patch of the card; white and grey along the sides may be left out.',
  );
}

/** Refuses a reading that is far from its own patch and close to another's: taken in the wrong order. */
function refuseSwapped(
  colours: ReadonlyMap<string, readonly Colour[]>,
  base: CardDefinition,
  fileName: string,
): void {
  for (const patch of base.patches)
    for (const colour of colours.get(patch.id) ?? []) {
      const own = deltaE2000(colour.lab, labOfPatch(patch, base.white));
      if (own <= WRONG_PATCH) continue;
      const other = base.patches.find((p) => deltaE2000(colour.lab, labOfPatch(p, base.white)) < own / 3);
      if (!other) continue;
      throw readingsError(
        fileName,
        `${colour.where}, patch ${JSON.stringify(patch.id)} reads ${own.toFixed(0)} ΔE2000 from what the card states, and like ${JSON.stringify(other.id)}`,
        'Read the patches in the order of their names on the sheet.',
      );
    }
}

function measuredPatch(
  patch: CardPatch,
  colours: ReadonlyMap<string, readonly Colour[]>,
  base: CardDefinition,
  fileName: string,
): CardPatch {
  const { lab: _lab, spectrum: _spectrum, ...rest } = patch;
  const own = colours.get(patch.id);
  const mean = averageColour(own ?? sameInks(patch, colours, base), base.white);
  const farthest = own?.find((c) => deltaE2000(c.lab, mean.lab) > MOST_APART);
  if (farthest)
    throw readingsError(
      fileName,
      `${farthest.where}, patch ${JSON.stringify(patch.id)}: this reading is ${deltaE2000(farthest.lab, mean.lab).toFixed(1)} ΔE2000 from the mean of the patch’s ${own?.length} readings`,
      'Take the wrong reading out, or read that patch again.',
    );
  const u = own ? mean.u : Math.max(mean.u, U_REPEATED_PRINT);
  return { ...rest, lab: mean.lab, ...(mean.spectrum ? { spectrum: mean.spectrum } : {}), u };
}
