import { OWN_CARD, stripsBeside } from '../core/card/own.ts';
import type { PrintedPatch } from '../core/correction/known-prints.ts';
import { printedPatches } from '../core/correction/printed-patches.ts';

/** Numbers of a spectrum. */
const N = 36;

/**
 * A module that stands in for `src/core/correction/known-prints.ts` where Node runs it: the project's own card alone and with both its
 * strips, in the digits in which they would be worked out. Patches of one recipe share what is known of them.
 */
export function knownPrintsModule(): string {
  const card = OWN_CARD.patches;
  const sheets = [card, [...card, ...stripsBeside(OWN_CARD).flatMap((strip) => strip.patches)]];
  const known: number[][] = [];
  const places = new Map<string, number>();
  const recipes = sheets.map((patches) =>
    printedPatches(patches, OWN_CARD.white).map((patch) => {
      const numbers = numbersOf(patch);
      const key = numbers.join();
      const place = places.get(key) ?? known.push(numbers) - 1;
      places.set(key, place);
      return place;
    }),
  );
  const bytes = Buffer.from(Float64Array.from(known.flat()).buffer).toString('base64');
  return `import { OWN_CARD, stripsBeside } from '../card/own.ts';
const bytes = Uint8Array.from(Buffer.from('${bytes}', 'base64'));
const values = new Float64Array(bytes.buffer);
let at = 0;
const take = (count) => values.subarray(at, (at += count));
const spectra = () => Array.from({ length: take(1)[0] }, () => take(${N}));
const known = Array.from({ length: ${known.length} }, () => {
  const [u, ...lab] = take(4);
  return { u, lab, reflectance: take(${N}), printModes: spectra(), sharedModes: spectra() };
});
const recipes = ${JSON.stringify(recipes)};
const card = OWN_CARD.patches;
const sheets = [card, [...card, ...stripsBeside(OWN_CARD).flatMap((strip) => strip.patches)]];
export const KNOWN_PRINTS = sheets.map((patches, sheet) => ({
  white: OWN_CARD.white,
  patches,
  printed: patches.map((patch, i) => ({
    id: patch.id,
    neutral: patch.role === 'neutral',
    source: 'stated',
    ...known[recipes[sheet][i]],
  })),
}));
`;
}

function numbersOf({ u, lab, reflectance, printModes, sharedModes }: PrintedPatch): number[] {
  const spectra = (list: readonly Float64Array[]): number[] => [
    list.length,
    ...list.flatMap((values) => [...values]),
  ];
  return [u, ...lab, ...reflectance, ...spectra(printModes), ...spectra(sharedModes)];
}
