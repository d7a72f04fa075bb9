/** What is poured by the marks of a cup, and the recipe that this really is. */
import { commonDivisor } from '../../core/advise/net.ts';
import type { Recipe } from '../../core/film/index.ts';
import {
  amountsIn,
  CARRIER,
  correctPot,
  type MixingSheet,
  type Pot,
  type PotImpossible,
  REDUCER,
  reducerFor,
  roomForPaint,
  toMark,
} from '../../core/mix/index.ts';
import { isSameRecipe } from './same-recipe.ts';

/** What goes into the pot, reducer last. */
export interface PotPour {
  /** How much of the pot it starts from. */
  readonly take_ml: number;
  /** False when the cup is too small for the whole pot. */
  readonly isWholePot: boolean;
  /** Nothing but reducer is missing. */
  readonly isRight: boolean;
  readonly lines: readonly { readonly what: string; readonly ml: number }[];
  /** The mixed paint without its reducer. */
  readonly paint_ml: number;
  readonly total_ml: number;
  /** The recipe as it is with these amounts. */
  readonly poured: Recipe;
  /** The amount that the marks can't show: then none is rounded. */
  readonly tooFine: { readonly what: string; readonly ml: number } | undefined;
}

interface Cup {
  readonly cup_ml?: number | undefined;
  /** Step of its marks. */
  readonly marks_ml?: number | undefined;
}

/** Why, when adding to the pot can't get there. */
export function pourIntoPot(pot: Pot, recipe: Recipe, { cup_ml, marks_ml }: Cup): PotPour | PotImpossible {
  const corrected = correctPot(pot, recipe, { cup_ml: roomForPaint(cup_ml, recipe.reducer_pct) });
  if ('impossible' in corrected) return corrected;
  const { additions, fits } = corrected;
  const wholeMarks = marks_ml ? Math.floor(corrected.take_ml / marks_ml) * marks_ml : 0;
  const take_ml = !fits && wholeMarks > 0 ? wholeMarks : corrected.take_ml;
  const share = take_ml / pot.volume_ml;
  const toPour = additions.map(({ what, ml }) => ({ what, ml: ml * share }));
  const exact_ml = corrected.final_ml * share;
  const reducer = { what: REDUCER, ml: reducerFor(exact_ml, recipe.reducer_pct) };
  const wanted = reducer.ml > 0 ? [...toPour, reducer] : toPour;
  const tooFine = wanted.find(({ ml }) => toMark(ml, marks_ml) === 0);
  const step = tooFine ? undefined : marks_ml;
  const lines = wanted.map(({ what, ml }) => ({ what, ml: toMark(ml, step) }));
  const start = amountsIn({ mix: pot.mix, volume_ml: take_ml });
  const poured_ml = (what: string): number =>
    (start.get(what) ?? 0) + (lines.find((l) => l.what === what)?.ml ?? 0);
  const total_ml = take_ml + lines.reduce((sum, l) => sum + l.ml, 0);
  return {
    take_ml,
    isWholePot: fits,
    isRight: additions.length === 0,
    lines,
    paint_ml: total_ml - (lines.find((l) => l.what === REDUCER)?.ml ?? 0),
    total_ml,
    poured: asPoured(recipe, poured_ml, step),
    tooFine,
  };
}

/** The recipe of a sheet as its rounded amounts have it. */
export function pouredBySheet(recipe: Recipe, { lines }: MixingSheet, marks_ml: number | undefined): Recipe {
  return asPoured(recipe, (what) => lines.find((l) => l.what === what)?.ml ?? 0, marks_ml);
}

/** True when a pot's amounts are within a mark of what they should be: no cup can pour it closer. */
export function isRightByMarks(pot: Pot, recipe: Recipe, marks_ml: number): boolean {
  const [has, wanted] = [pot, { ...pot, mix: recipe }].map(amountsIn);
  return [...new Set([...has.keys(), ...wanted.keys()])].every(
    (what) => Math.abs((has.get(what) ?? 0) - (wanted.get(what) ?? 0)) <= marks_ml,
  );
}

/** The recipe that amounts make; the recipe itself where they are true to it. */
function asPoured(recipe: Recipe, amountOf: (what: string) => number, marks_ml: number | undefined): Recipe {
  const tints = Object.keys(recipe.parts).filter((tint) => recipe.parts[tint] > 0);
  const amounts = tints.map(amountOf);
  const mix_ml = amounts.reduce((a, b) => a + b, 0);
  const carrier = amountOf(CARRIER) / mix_ml;
  const poured: Recipe = {
    ...recipe,
    parts: Object.fromEntries(tints.map((tint, i) => [tint, amounts[i]])),
    carrier,
    reducer_pct: (100 * amountOf(REDUCER)) / (mix_ml * (1 + carrier)),
  };
  if (isSameRecipe(poured, recipe)) return recipe;
  const parts = asParts(amounts, marks_ml);
  return {
    ...poured,
    parts: Object.fromEntries(tints.map((tint, i) => [tint, parts[i]])),
    carrier: rounded(carrier, 3),
    reducer_pct: rounded(poured.reducer_pct, 2),
  };
}

/** Parts as a painter writes them: whole numbers where amounts are whole marks, else to one of the least. */
function asParts(amounts: readonly number[], marks_ml: number | undefined): number[] {
  const counts = amounts.map((ml) => ml / (marks_ml ?? Number.NaN));
  const whole = counts.map(Math.round);
  const isWhole = counts.every((count, i) => Math.abs(count - whole[i]) < 1e-6);
  const unit = isWhole ? whole.reduce(commonDivisor) : Math.min(...amounts);
  return isWhole ? whole.map((count) => count / unit) : amounts.map((ml) => rounded(ml / unit, 3));
}

const rounded = (value: number, digits: number): number => Number(value.toFixed(digits));
