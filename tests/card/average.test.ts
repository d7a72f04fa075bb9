import { expect, it } from 'vitest';
import { averageColour } from '../../src/core/card/import/average.ts';
import { labFromReflectance, type Spectrum, toGrid, viewing } from '../../src/core/color/index.ts';

const grey = (start_nm: number, end_nm: number, step_nm: number, level: number): Spectrum => ({
  start_nm,
  step_nm,
  values: Array.from({ length: (end_nm - start_nm) / step_nm + 1 }, () => level),
});
const read = (spectrum: Spectrum) => ({
  where: 'a patch',
  lab: labFromReflectance(toGrid(spectrum), viewing('D50/2')),
  spectrum,
});

it('readings of one patch over other wavelengths still make one mean', () => {
  for (const other of [grey(400, 700, 10, 0.22), grey(390, 740, 10, 0.22), grey(380, 730, 5, 0.22)]) {
    const { lab, spectrum } = averageColour([read(grey(380, 730, 10, 0.18)), read(other)], 'D50/2');
    expect(spectrum?.values).toHaveLength(36);
    for (const value of spectrum?.values ?? []) expect(value).toBeCloseTo(0.2, 9);
    expect(lab[0]).toBeCloseTo(labFromReflectance(new Float64Array(36).fill(0.2), viewing('D50/2'))[0], 3);
  }
});
