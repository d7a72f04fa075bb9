/** Correcting a pot: paint can be added to it, never taken out of it. */
import { SprayoutError } from '../errors.ts';
import { CARRIER, NOT_TINTS } from '../job/names.ts';

/** A mix as parts of each tint, and parts of carrier to one part of the tints together. */
export interface PotMix {
  readonly parts: Readonly<Record<string, number>>;
  readonly carrier: number;
}

export interface Pot {
  readonly mix: PotMix;
  readonly volume_ml: number;
}

/** One thing to pour in. */
export interface Addition {
  /** A tint id, or `carrier`. */
  readonly what: string;
  readonly ml: number;
  /** Where its density is known. */
  readonly g?: number;
}

export interface PotCorrection {
  /** What to add, the smallest amount first; empty when the pot is right as it is. */
  readonly additions: readonly Addition[];
  readonly final_ml: number;
  /** False when the cup is too small for it; `take_ml` then says how much of the pot to start from. */
  readonly fits: boolean;
  readonly take_ml: number;
}

/** Why adding can't get there. */
export interface PotImpossible {
  readonly impossible: string;
  /** The tint id, or `carrier`, that is in the pot and should not be. */
  readonly what: string;
}

export interface PotOptions {
  readonly cup_ml?: number | undefined;
  /** g/ml by tint id and `carrier`. */
  readonly densities?: Readonly<Record<string, number>> | undefined;
}

/** Less than this, ml, is nothing: rounding error of the arithmetic. */
const NOTHING_ML = 1e-9;

/**
 * The least that must be added to a pot so that its ratio and letdown are exactly the goal's.
 * Throws `mix-invalid` for a pot or goal without parts or with amounts that are no amounts.
 */
export function correctPot(pot: Pot, goal: PotMix, options: PotOptions = {}): PotCorrection | PotImpossible {
  checkMix(pot.mix, 'The pot');
  checkMix(goal, 'The goal');
  if (!(Number.isFinite(pot.volume_ml) && pot.volume_ml > 0))
    throw new SprayoutError(
      'mix-invalid',
      `The pot holds ${pot.volume_ml} ml.`,
      'Give what is in the pot, in millilitres.',
    );
  const { cup_ml } = options;
  if (cup_ml !== undefined && !(cup_ml > 0))
    throw new SprayoutError(
      'mix-invalid',
      `A cup of ${cup_ml} ml holds nothing.`,
      'Give the size of the cup, in millilitres.',
    );
  const inPot = amountsIn(pot);
  const wanted = perMl(goal);
  const names = [...new Set([...inPot.keys(), ...wanted.keys()])];
  const amount = (name: string): number => inPot.get(name) ?? 0;
  const tooMuch = names.find((name) => amount(name) > NOTHING_ML * pot.volume_ml && !wanted.has(name));
  if (tooMuch !== undefined)
    return {
      impossible:
        tooMuch === CARRIER
          ? 'carrier is in the pot and not in the new mix, and cannot be taken out'
          : `${tooMuch} is in the pot and not in the new mix, and cannot be taken out`,
      what: tooMuch,
    };
  // the whole must be large enough that everything already in the pot has its place in it
  const final_ml = Math.max(
    ...names.filter((n) => wanted.has(n)).map((n) => amount(n) / (wanted.get(n) as number)),
  );
  const additions = names
    .map((what) => addition(what, (wanted.get(what) ?? 0) * final_ml - amount(what), options.densities))
    .filter((a) => a.ml > NOTHING_ML * final_ml)
    .sort((a, b) => a.ml - b.ml);
  const fits = cup_ml === undefined || final_ml <= cup_ml * (1 + 1e-12);
  return {
    additions,
    final_ml,
    fits,
    take_ml: fits ? pot.volume_ml : (pot.volume_ml * (cup_ml as number)) / final_ml,
  };
}

/** Reducer for an amount of paint, `reducer_pct` of it. */
export const reducerFor = (paint_ml: number, reducer_pct: number): number => (paint_ml * reducer_pct) / 100;

/** How much paint a cup takes that is to hold its reducer too, `reducer_pct` of the paint. */
export function roomForPaint(cup_ml: number | undefined, reducer_pct: number): number | undefined {
  return cup_ml === undefined ? undefined : cup_ml / (1 + reducer_pct / 100);
}

function addition(what: string, ml: number, densities: PotOptions['densities']): Addition {
  const density = densities?.[what];
  return density === undefined ? { what, ml } : { what, ml, g: ml * density };
}

/** Millilitres of each tint and of carrier in a pot. */
export function amountsIn({ mix, volume_ml }: Pot): Map<string, number> {
  return new Map([...perMl(mix)].map(([name, share]) => [name, share * volume_ml]));
}

/** Shares of the whole, by tint id and `carrier`; what has no share is left out. */
function perMl({ parts, carrier }: PotMix): Map<string, number> {
  const total = Object.values(parts).reduce((a, b) => a + b, 0);
  const out = new Map<string, number>();
  for (const [tint, p] of Object.entries(parts)) if (p > 0) out.set(tint, p / total / (1 + carrier));
  if (carrier > 0) out.set(CARRIER, carrier / (1 + carrier));
  return out;
}

export function checkMix({ parts, carrier }: PotMix, where: string): void {
  const fail = (what: string): never => {
    throw new SprayoutError(
      'mix-invalid',
      `${where} ${what}.`,
      'Parts are numbers of 0 or more, one of them above 0.',
    );
  };
  const entries = Object.entries(parts);
  for (const [tint, p] of entries) {
    if (!(Number.isFinite(p) && p >= 0)) fail(`has ${p} parts of ${tint}`);
    if (NOT_TINTS.includes(tint))
      fail(`has a tint called "${tint}", which is what the ${tint} itself is called`);
  }
  if (!entries.some(([, p]) => p > 0)) fail('has no parts');
  if (!(Number.isFinite(carrier) && carrier >= 0)) fail(`has ${carrier} parts of carrier`);
}
