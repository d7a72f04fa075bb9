import type { Lab, Xyz } from '../../color/index.ts';

/** What the columns of a table hold, by index. */
export interface Columns {
  readonly names: readonly number[];
  readonly lab?: readonly [number, number, number];
  readonly xyz?: readonly [number, number, number];
  /** Columns of reflectance with their wavelengths, by rising wavelength. */
  readonly spectrum: readonly { readonly nm: number; readonly column: number }[];
}

const NAME = /^(sample[_ ]?(id|name|loc)|id|name|patch([_ ]?(id|name))?|sample|field[_ ]?name)$/i;
/** `SPECTRAL_NM_380`, `SPECTRAL_NM380`, `SPECTRAL_380`, `SPECTRAL_PCT_380`, `nm380`, `R380`, `380`, `380 nm`. */
const WAVELENGTH =
  /^(?:spectral[_ ]?(?:nm|pct|dec)?|nm|r|refl(?:ectance)?)?[_ ]?(\d{3})(?:[.,]0+)?[_ ]?(?:nm)?$/i;

/** Ways to head the three columns of a colour, the plainest last: a lone `B` may be a device's blue. */
const LAB_FORMS = ['lab', 'cie', ''].map((prefix) => ['l', 'a', 'b'].map((c) => prefix + c));
const XYZ_FORMS = ['xyz', 'cie', ''].map((prefix) => ['x', 'y', 'z'].map((c) => prefix + c));

/** `LAB_L`, `CIE L*`, `L* (D50/2)` as `labl`, `ciel`, `l`. */
function bare(heading: string): string {
  return heading
    .toLowerCase()
    .replace(/\(.*\)/, '')
    .replace(/[*_\s]/g, '');
}

function tripleOf(header: readonly string[], forms: readonly (readonly string[])[]) {
  const columns = forms.map((form) => form.map((name) => header.findIndex((h) => bare(h) === name)));
  return columns.find((found) => found.every((i) => i >= 0)) as [number, number, number] | undefined;
}

/** What a table's header says of its columns; undefined when it names neither colours nor spectra. */
export function columnsOf(headerCells: readonly string[]): Columns | undefined {
  const header = headerCells.map((h) => h.trim().replace(/^["']|["']$/g, ''));
  const lab = tripleOf(header, LAB_FORMS);
  const xyz = tripleOf(header, XYZ_FORMS);
  const spectrum = header
    .flatMap((h, column) => {
      const nm = Number(WAVELENGTH.exec(h)?.[1] ?? Number.NaN);
      return nm >= 300 && nm <= 900 ? [{ nm, column }] : [];
    })
    .sort((a, b) => a.nm - b.nm);
  if (!lab && !xyz && spectrum.length < 3) return undefined;
  const names = header.flatMap((h, i) => (NAME.test(h) ? [i] : []));
  return { names, ...(lab ? { lab } : {}), ...(xyz ? { xyz } : {}), spectrum };
}

/** A number with a decimal point or comma; NaN for anything else. */
export function numberIn(cell: string | undefined): number {
  const text = (cell ?? '').trim().replace(',', '.');
  return /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i.test(text) ? Number(text) : Number.NaN;
}

/** The three numbers of a row at these columns. */
export function tripleIn(row: readonly string[], at: readonly [number, number, number]): Lab & Xyz {
  return [numberIn(row[at[0]]), numberIn(row[at[1]]), numberIn(row[at[2]])];
}
