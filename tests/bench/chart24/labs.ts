/** Lab of a published table of reflectances. */
import { type Lab, labFromReflectance, toGrid, viewing } from '../../../src/core/color/index.ts';

export interface SpectraTable {
  readonly start_nm: number;
  readonly step_nm: number;
  readonly patches: Readonly<Record<string, readonly number[]>>;
}

/** CIELAB under D50, 2° observer, in the table's order. */
export function computedLabs({ start_nm, step_nm, patches }: SpectraTable): Lab[] {
  return Object.values(patches).map((values) =>
    labFromReflectance(toGrid({ start_nm, step_nm, values }), viewing('D50/2')),
  );
}
