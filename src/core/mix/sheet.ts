/** The mixing sheet: parts to millilitres for a wanted volume or for so many panels and coats. */
import { SprayoutError, type Warning } from '../errors.ts';
import { CARRIER, NOT_TINTS, REDUCER } from '../job/names.ts';
import { checkMix, type PotMix } from './pot.ts';
import { PRACTICE, PRACTICE_SOURCE, type Practice } from './practice.ts';

export interface SheetRequest {
  readonly mix: PotMix;
  /** Reducer, % of the mixed paint (tints and carrier), added to it. */
  readonly reducer_pct: number;
  /** Ready-to-spray volume wanted, or what to spray with it. */
  readonly amount:
    | { readonly volume_ml: number }
    | { readonly panels: number; readonly coats: number; readonly panel_cm2: number };
  /** Step of the marks on the cup or scale, ml; no rounding when left out. */
  readonly graduation_ml?: number | undefined;
  readonly cup_ml?: number | undefined;
  readonly densities?: Readonly<Record<string, number>> | undefined;
  /** A thin effect coat rather than a solid candy: other limits apply. */
  readonly effect?: boolean | undefined;
  readonly practice?: Practice | undefined;
}

export interface SheetLine {
  /** A tint id, `carrier` or `reducer`. */
  readonly what: string;
  readonly exact_ml: number;
  /** To the nearest mark. */
  readonly ml: number;
  readonly g?: number;
}

export interface MixingSheet {
  /** In the order of pouring: the least first, reducer last. */
  readonly lines: readonly SheetLine[];
  readonly total_ml: number;
  /** The mix that is really poured, after rounding to the marks. */
  readonly poured: PotMix;
  readonly warnings: readonly Warning[];
  /** How to go on, each common practice. */
  readonly steps: readonly string[];
  readonly source: string;
}

const CM2_PER_M2 = 10_000;

/** Millilitres ready to spray that panels and coats take. */
export function volumeFor(
  panels: number,
  coats: number,
  panel_cm2: number,
  practice: Practice = PRACTICE,
): number {
  return (panels * coats * panel_cm2 * practice.coat_ml_per_m2) / CM2_PER_M2;
}

/** Throws `mix-invalid` for amounts that are no amounts, and when rounding leaves no tint. */
export function mixingSheet(request: SheetRequest): MixingSheet {
  const { mix, reducer_pct, graduation_ml, practice = PRACTICE, densities } = request;
  checkMix(mix, 'The mix');
  atLeastZero(reducer_pct, 'reducer');
  if (reducer_pct > 100) throw invalid(`${reducer_pct} % reducer is more reducer than paint`);
  if (graduation_ml !== undefined && !(graduation_ml > 0))
    throw invalid(`marks ${graduation_ml} ml apart are no marks`);
  const total = wantedVolume(request, practice);
  const paint = total / (1 + reducer_pct / 100);
  const parts = Object.values(mix.parts).reduce((a, b) => a + b, 0);
  const exact: [string, number][] = Object.entries(mix.parts)
    .filter(([, p]) => p > 0)
    .map(([tint, p]) => [tint, (paint * p) / parts / (1 + mix.carrier)]);
  if (mix.carrier > 0) exact.push([CARRIER, (paint * mix.carrier) / (1 + mix.carrier)]);
  exact.sort((a, b) => a[1] - b[1]);
  if (reducer_pct > 0) exact.push([REDUCER, total - paint]);
  const lines = exact.map(([what, exact_ml]) => {
    const ml = toMark(exact_ml, graduation_ml);
    const density = densities?.[what];
    return { what, exact_ml, ml, ...(density === undefined ? {} : { g: ml * density }) };
  });
  const lost = lines.find((l) => l.ml === 0 && l.what !== REDUCER);
  if (lost)
    throw invalid(
      `${lost.exact_ml.toFixed(2)} ml of ${lost.what} is less than half a mark of ${graduation_ml} ml`,
      'Mix more, or measure it with finer marks.',
    );
  const poured = pouredMix(lines);
  return {
    lines,
    total_ml: lines.reduce((sum, l) => sum + l.ml, 0),
    poured,
    warnings: sheetWarnings(request, total, practice),
    steps: [
      `Strain through about ${practice.strainer_um} µm.`,
      `Let it rest ${practice.rest_low_min} to ${practice.rest_high_min} minutes.`,
      `Full-size gun: about ${practice.gun_psi} psi, ${practice.overlap_pct} % overlap.`,
    ],
    source: PRACTICE_SOURCE,
  };
}

/** An amount by the marks of a cup, as it is where it has none. */
export const toMark = (ml: number, graduation_ml: number | undefined): number =>
  graduation_ml === undefined ? ml : Math.round(ml / graduation_ml) * graduation_ml;

function invalid(what: string, hint = 'Correct that amount.'): SprayoutError {
  return new SprayoutError('mix-invalid', `${what[0].toUpperCase()}${what.slice(1)}.`, hint);
}

function atLeastZero(value: number, what: string): void {
  if (!(Number.isFinite(value) && value >= 0)) throw invalid(`${value} is no amount of ${what}`);
}

function wantedVolume({ amount }: SheetRequest, practice: Practice): number {
  if ('volume_ml' in amount) {
    if (!(Number.isFinite(amount.volume_ml) && amount.volume_ml > 0))
      throw invalid(`${amount.volume_ml} ml is no volume to mix`);
    return amount.volume_ml;
  }
  const { panels, coats, panel_cm2 } = amount;
  for (const [value, what] of [
    [panels, 'panels'],
    [coats, 'coats'],
  ] as const)
    if (!(Number.isInteger(value) && value > 0))
      throw invalid(`${value} is no number of ${what}`, 'Give a whole number of 1 or more.');
  if (!(Number.isFinite(panel_cm2) && panel_cm2 > 0)) throw invalid(`${panel_cm2} cm² is no size of a panel`);
  return volumeFor(panels, coats, panel_cm2, practice);
}

function pouredMix(lines: readonly SheetLine[]): PotMix {
  const tints = lines.filter((l) => !NOT_TINTS.includes(l.what));
  const tint_ml = tints.reduce((sum, l) => sum + l.ml, 0);
  const carrier_ml = lines.find((l) => l.what === CARRIER)?.ml ?? 0;
  return { parts: Object.fromEntries(tints.map((l) => [l.what, l.ml])), carrier: carrier_ml / tint_ml };
}

function sheetWarnings(request: SheetRequest, total: number, practice: Practice): Warning[] {
  const { mix, reducer_pct, cup_ml, effect, amount } = request;
  const out: Warning[] = [];
  const warn = (code: string, message: string): void => {
    out.push({ code, message: `${message} (${PRACTICE_SOURCE})` });
  };
  if (reducer_pct > practice.reducer_small_tip_pct)
    warn(
      'reducer-breaks-film',
      `${reducer_pct} % reducer: above ${practice.reducer_small_tip_pct} % the film breaks up.`,
    );
  else if (reducer_pct > practice.reducer_cutoff_pct)
    warn(
      'reducer-high',
      `${reducer_pct} % reducer: beyond ${practice.reducer_cutoff_pct} % only for small tips; about ${practice.reducer_usual_pct} % is usual.`,
    );
  if (effect) {
    const share = (100 * mix.carrier) / (1 + mix.carrier);
    if (share < practice.effect_carrier_low_pct || share > practice.effect_carrier_high_pct)
      warn(
        'effect-carrier',
        `An effect coat usually has ${practice.effect_carrier_low_pct} to ${practice.effect_carrier_high_pct} % carrier, this one ${Math.round(share)} %.`,
      );
    if ('coats' in amount && amount.coats > practice.effect_coats_most)
      warn('effect-coats', `More than ${practice.effect_coats_most} effect coats is unusual.`);
  } else if (mix.carrier > 0 && Math.abs(Math.log(mix.carrier / practice.candy_carrier_parts)) > Math.log(2))
    warn(
      'letdown-unusual',
      `A solid candy is usually let down with about ${practice.candy_carrier_parts} parts carrier to 1 of mix, this one with ${mix.carrier}.`,
    );
  if (cup_ml !== undefined && total > cup_ml)
    out.push({
      code: 'cup-too-small',
      // without figures: it is shown beside amounts in whatever unit the painter works in
      message: `It is more than the cup holds: mix it in ${Math.ceil(total / cup_ml)} cups.`,
    });
  return out;
}
