import {
  deltaE2000,
  GRID,
  type Lab,
  labFromReflectance,
  type Spectrum,
  toGrid,
  viewing,
} from '../../color/index.ts';

/** A patch's colour as read once. */
export interface Colour {
  /** Where it stands in the file. */
  readonly where: string;
  readonly lab: Lab;
  readonly spectrum?: Spectrum;
}

export interface MeanColour {
  readonly lab: [number, number, number];
  readonly spectrum?: { start_nm: number; step_nm: number; values: number[] };
  /** Standard uncertainty, ΔE2000. */
  readonly u: number;
}

/** A single reading by one instrument beside another instrument's (common practice, no source), ΔE2000. */
const U_SINGLE = 0.4;
/** What repeating a reading does not average away. */
const U_INSTRUMENT = 0.3;

function meanOf(rows: readonly (readonly number[])[], digits: number): number[] {
  return rows[0].map((_, i) =>
    Number((rows.reduce((sum, row) => sum + row[i], 0) / rows.length).toFixed(digits)),
  );
}

function meanSpectrum(read: readonly Spectrum[]): MeanColour['spectrum'] {
  const spectra = onOneGrid(read);
  const [{ start_nm, step_nm }] = spectra;
  const values = meanOf(
    spectra.map((s) => s.values),
    5,
  );
  return { start_nm, step_nm, values };
}

/** Readings over other wavelengths than the first one's meet on the core's grid. */
function onOneGrid(spectra: readonly Spectrum[]): readonly Spectrum[] {
  const [{ start_nm, step_nm, values }] = spectra;
  const alike = spectra.every(
    (s) => s.start_nm === start_nm && s.step_nm === step_nm && s.values.length === values.length,
  );
  return alike
    ? spectra
    : spectra.map((s) => ({ start_nm: GRID.start_nm, step_nm: GRID.step_nm, values: [...toGrid(s)] }));
}

/** The mean of readings of one patch; its uncertainty from their scatter and from what no repeating removes. */
export function averageColour(colours: readonly Colour[], white: string): MeanColour {
  const spectra = colours.flatMap((c) => c.spectrum ?? []);
  const spectrum = spectra.length === colours.length ? meanSpectrum(spectra) : undefined;
  const exact = spectrum
    ? labFromReflectance(toGrid(spectrum), viewing(white))
    : meanOf(
        colours.map((c) => c.lab),
        3,
      );
  const lab: [number, number, number] = [exact[0], exact[1], exact[2]].map((v) => Number(v.toFixed(3))) as [
    number,
    number,
    number,
  ];
  return { lab, ...(spectrum ? { spectrum } : {}), u: Number(uncertainty(colours, lab).toFixed(3)) };
}

function uncertainty(colours: readonly Colour[], mean: Lab): number {
  const n = colours.length;
  if (n < 2) return U_SINGLE;
  const variance = colours.reduce((sum, c) => sum + deltaE2000(c.lab, mean) ** 2, 0) / (n - 1);
  return Math.sqrt(U_INSTRUMENT ** 2 + variance / n);
}
