/** Recipes in the order in which they are worth spraying: how far from the target, how well known, how much trouble. */
import { deltaE2000 } from '../color/index.ts';
import type { Recipe } from '../film/index.ts';
import { correctPot, type Pot } from '../mix/index.ts';
import type { Candidate } from './candidates.ts';
import { sameRatio } from './net.ts';
import { openVariance, sensitivity } from './openness.ts';
import type { Search } from './search.ts';

/** Candidates whose openness is looked at. */
const SHORTLIST = 50;

export interface Ranked extends Candidate {
  /** Expected ΔE2000 and prices together. */
  readonly cost: number;
  /** Mean squared ΔE2000 that the fit leaves open. */
  readonly open: number;
}

/** The shortlist, best first. */
export function rank({ fit, now, from, pot, settings }: Search, all: readonly Candidate[]): Ranked[] {
  const { prices } = settings;
  const price = ({ recipe }: Candidate): number => {
    let sum = prices.eachCoat * recipe.coats;
    if (recipe.ground !== now.recipe.ground) sum += prices.changeGround;
    if (recipe.carrier !== from.carrier) sum += prices.changeLetdown;
    if (pot && !canAdd(pot, recipe)) sum += prices.newPot;
    else if (!sameRatio(recipe.parts, from.parts)) sum += prices.addToPot;
    return sum;
  };
  return all
    .map((c) => ({ c, cost: c.de00 + price(c) }))
    .sort((a, b) => a.cost - b.cost)
    .slice(0, SHORTLIST)
    .map(({ c, cost }) => {
      const open = openVariance(sensitivity(fit, c.recipe));
      return { ...c, open, cost: cost - c.de00 + Math.sqrt(c.de00 ** 2 + open) };
    })
    .sort((a, b) => a.cost - b.cost);
}

const canAdd = (pot: Pot, { parts, carrier }: Recipe): boolean =>
  !('impossible' in correctPot(pot, { parts, carrier }));

/** With no more sprayed panels than this, colours nobody sprayed are open enough to hope for, and to spray to learn. */
export const FEW_PANELS = 2;

/** The recipe that may come nearest once it is better known, and how near with luck (two standard deviations). */
export function mostHopeful(ranked: readonly Ranked[]): { recipe: Ranked; de00: number } {
  return ranked
    .map((recipe) => ({ recipe, de00: Math.max(0, recipe.de00 - 2 * Math.sqrt(recipe.open)) }))
    .reduce((a, b) => (b.de00 < a.de00 ? b : a));
}

/** The best few that are not the same idea twice: at most two of one ground and coats, at most one of one film. */
export function unlike(ranked: readonly Ranked[], count: number): Ranked[] {
  const out: Ranked[] = [];
  for (const next of ranked) {
    if (out.length >= count) break;
    const alike = out.filter(
      (c) => c.recipe.ground === next.recipe.ground && c.recipe.coats === next.recipe.coats,
    );
    if (alike.length >= 2) continue;
    if (out.some((c) => c.recipe.ground === next.recipe.ground && deltaE2000(c.lab, next.lab) < 0.3))
      continue;
    out.push(next);
  }
  return out;
}
