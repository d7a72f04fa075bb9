import { LONGEST_NAME } from '../../../shared/schemas/card.ts';
import { deltaE2000, type Lab, type WhiteName } from '../color/index.ts';
import { SprayoutError } from '../errors.ts';
import type { CardDefinition, CardPatch } from './types.ts';

/** Colours read in one photo as draws: `draws` holds `count` × ids × 3 Lab values, row-major. */
export interface ReadColours {
  readonly white: WhiteName;
  readonly ids: readonly string[];
  readonly lab: readonly Lab[];
  readonly count: number;
  readonly draws: Float64Array;
}

/** What a print varies by from patch to patch of the same inks, which no photo averages away, ΔE2000. */
const U_LEAST = 0.5;

/**
 * The base card with the colours that a photo gave it, read beside another, measured chart: `source: "adopted"`, Lab
 * only, `u` the draws' root-mean-square ΔE2000 about their centre. Patches of the same inks share the mean of their
 * readings, which takes out most of the light's fall across the card. Throws `readings-invalid` for a patch that
 * was not read, `card-invalid` for readings under another white than the card's.
 */
export function adoptCard(base: CardDefinition, read: ReadColours, photoName: string): CardDefinition {
  if (read.white !== base.white)
    throw new SprayoutError(
      'card-invalid',
      `The chart's colours are for ${read.white}, the card's for ${base.white}.`,
      `Use a chart file whose colours are stated for ${base.white}.`,
    );
  const groups = new Map<string, number[]>();
  read.ids.forEach((id, i) => {
    const patch = base.patches.find((p) => p.id === id);
    if (!patch) return;
    groups.set(inksOf(patch), [...(groups.get(inksOf(patch)) ?? []), i]);
  });
  const patches = base.patches.map((patch): CardPatch => {
    const members = groups.get(inksOf(patch));
    if (!members)
      throw new SprayoutError(
        'readings-invalid',
        `Patch ${JSON.stringify(patch.id)} could not be read in ${photoName}.`,
        'Take the photo again: the whole card sharp, evenly lit, no lamp mirrored in it.',
      );
    const { spectrum: _spectrum, ...rest } = patch;
    const centre = meanOf(members.map((i) => read.lab[i]));
    const lab = centre.map((v) => Number(v.toFixed(2))) as [number, number, number];
    return { ...rest, lab, u: Number(Math.max(U_LEAST, spreadOf(members, centre, read)).toFixed(2)) };
  });
  return {
    ...base,
    name: `${base.name} (adopted from ${photoName})`.slice(0, LONGEST_NAME),
    source: 'adopted',
    patches,
  };
}

function inksOf(patch: CardPatch): string {
  return patch.replicate_of ?? patch.id;
}

function meanOf(labs: readonly Lab[]): Lab {
  const sum = labs.reduce((a, b) => [a[0] + b[0], a[1] + b[1], a[2] + b[2]]);
  return [sum[0] / labs.length, sum[1] / labs.length, sum[2] / labs.length];
}

/** Root-mean-square ΔE2000 of the members' mean, draw by draw, about its centre. */
function spreadOf(members: readonly number[], centre: Lab, { count, ids, draws }: ReadColours): number {
  let sum = 0;
  for (let k = 0; k < count; k++) {
    const drawn = members.map((i): Lab => {
      const at = 3 * (k * ids.length + i);
      return [draws[at], draws[at + 1], draws[at + 2]];
    });
    sum += deltaE2000(meanOf(drawn), centre) ** 2;
  }
  return Math.sqrt(sum / count);
}
