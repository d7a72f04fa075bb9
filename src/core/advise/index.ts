/** Advice: what to spray next to come closer to the target, and what to pour into the pot for it. */

import { ciede2000 } from '../color/ciede2000.ts';
import { deltaE2000, type Lab } from '../color/index.ts';
import { SprayoutError, type Warning } from '../errors.ts';
import { filmColour } from '../film/colour.ts';
import {
  differenceToTarget,
  type FilmFit,
  type FilmPanel,
  type PosteriorDraws,
  posteriorDraws,
  predictColour,
  type Recipe,
  stretches,
  targetColour,
  targetDraws,
} from '../film/index.ts';
import { compileRecipe } from '../film/model.ts';
import type { Pot } from '../mix/index.ts';
import { type Candidate, nearestCandidates } from './candidates.ts';
import { allRecipes, type Habits, habitsOf, sameRatio, sameRecipe } from './net.ts';
import { openAfter, openVariance, sensitivity } from './openness.ts';
import { potStep, potWords } from './pot-step.ts';
import { reachOf } from './reach.ts';
import { ADVISE_SETTINGS, type AdviseSettings } from './settings.ts';
import type { Advice, Suggestion } from './types.ts';
import { distanceWords, type Names, recipeWords, sentence, stepWords } from './words.ts';

export { ADVISE_SETTINGS, type AdviseSettings, PRICES, type Prices } from './settings.ts';
export type * from './types.ts';
export type { Names } from './words.ts';

export interface AdviseContext {
  readonly names: Names;
  readonly pot?: Pot | undefined;
  readonly cup_ml?: number | undefined;
  readonly settings?: Partial<AdviseSettings> | undefined;
}

/** Candidates that are priced: the nearest ones, by far more than any price reaches. */
const NEAREST = 600;
/** Candidates whose openness is looked at, and panels tried as the most telling one. */
const SHORTLIST = 80;
/** A step is supported when it is closer in this share of the draws than what was sprayed nearest. */
const SUPPORTED = 0.6;
/** With no more sprayed panels than this, a panel sprayed to learn may beat the advised recipe. */
const FEW_PANELS = 2;
/** … when the advised recipe's colour is open by more than this, ΔE2000. */
const TOO_OPEN = 1.5;
/** Panels from which the target's own reading is what limits the advice. */
const MANY_PANELS = 9;

interface Ranked extends Candidate {
  /** Expected ΔE2000 and prices together. */
  readonly cost: number;
  readonly open: number;
}

/** Throws `no-target` without a measured target, `not-enough-panels` when no ground may be used. */
export function advise(fit: FilmFit, context: AdviseContext): Advice {
  const settings = { ...ADVISE_SETTINGS, ...context.settings };
  const target = targetColour(fit);
  if (!target)
    throw new SprayoutError(
      'no-target',
      'The job has no measured target to come closer to.',
      'Add "target" with a "lab", or with its corners in a photo.',
    );
  const habits = habitsOf(fit, settings);
  if (habits.grounds.length === 0)
    throw new SprayoutError(
      'not-enough-panels',
      'None of the grounds to use has been measured.',
      'Measure the grounds you own bare.',
    );
  const draws = posteriorDraws(fit);
  const now = nearestPanel(fit);
  const from: Recipe = context.pot ? { ...now.recipe, ...context.pot.mix } : now.recipe;
  const all = nearestCandidates(fit, habits, settings, target, NEAREST);
  const ranked = rank(fit, all, from, now.recipe, context, settings);
  const [closest] = all;
  const reach = reachOf(fit, draws, closest, context.names);
  const suggest = (recipe: Recipe, purpose: Suggestion['purpose'], why: string): Suggestion =>
    suggestion(fit, draws, recipe, from, purpose, why, context);
  const suggestions = choose(fit, draws, ranked, now, habits, context, settings, suggest);
  return {
    now: { panel: now.id, de00: deltaE2000(now.reading.lab, fit.data.target?.lab ?? target) },
    suggestions,
    reach,
    basis: { panels_used: fit.panels_used, residual_mean_de00: fit.residual_mean_de00 },
    warnings: [
      ...fit.warnings,
      ...adviceWarnings(fit, reach.within ? undefined : reach.words, suggestions[0], ranked[0]),
    ],
  };
}

/** The sprayed panel that measured nearest to the target. */
function nearestPanel(fit: FilmFit): FilmPanel {
  const target = fit.data.target?.lab as Lab;
  const off = (p: FilmPanel): number => deltaE2000(p.reading.lab, target);
  return fit.data.panels.filter((p) => p.recipe.coats > 0).reduce((a, b) => (off(b) < off(a) ? b : a));
}

function rank(
  fit: FilmFit,
  all: readonly Candidate[],
  from: Recipe,
  now: Recipe,
  { pot }: AdviseContext,
  { prices }: AdviseSettings,
): Ranked[] {
  const price = ({ recipe }: Candidate): number => {
    let sum = prices.eachCoat * recipe.coats;
    if (recipe.ground !== now.ground) sum += prices.changeGround;
    if (recipe.carrier !== from.carrier) sum += prices.changeLetdown;
    if (!sameRatio(recipe.parts, from.parts))
      sum += pot && !canAdd(pot, recipe) ? prices.newPot : prices.addToPot;
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

const canAdd = (pot: Pot, recipe: Recipe): boolean =>
  Object.entries(pot.mix.parts).every(([t, p]) => p === 0 || (recipe.parts[t] ?? 0) > 0);

function choose(
  fit: FilmFit,
  draws: PosteriorDraws,
  ranked: readonly Ranked[],
  now: FilmPanel,
  habits: Habits,
  { names }: AdviseContext,
  settings: AdviseSettings,
  suggest: (recipe: Recipe, purpose: Suggestion['purpose'], why: string) => Suggestion,
): Suggestion[] {
  const [best] = ranked;
  const others = unlike(ranked, settings.suggestions);
  const closer = (c: Ranked): Suggestion =>
    suggest(c.recipe, 'closer', sentence(`the nearest so far, ${now.id}, is ${offNow(fit, now)} off`));
  const sprayed = fit.data.panels.filter((p) => p.recipe.coats > 0).length;
  const again = { ...now.recipe, reducer_pct: habits.reducer_pct, clear: habits.clear };
  if (sprayed <= FEW_PANELS && Math.sqrt(best.open) > TOO_OPEN) {
    const telling = mostTelling(fit, best.recipe, habits, settings);
    const why = sentence(
      `with so few panels the advised recipe is open by about ${Math.sqrt(best.open).toFixed(1)}; after this panel by about ${Math.sqrt(telling.after).toFixed(1)}`,
    );
    return [suggest(telling.recipe, 'learn', why), ...others.slice(0, settings.suggestions - 1).map(closer)];
  }
  if (sameRecipe(best.recipe, again) || surelyCloser(fit, draws, best.recipe, again) >= SUPPORTED)
    return others.map((c) =>
      sameRecipe(c.recipe, again) ? suggest(c.recipe, 'keep', keepWhy(fit, now)) : closer(c),
    );
  const rest = others.filter((c) => !sameRecipe(c.recipe, again)).slice(0, settings.suggestions - 1);
  const difference = differenceToTarget(fit, draws, again);
  if (difference && difference.de00 < 2 * TOO_OPEN)
    return [suggest(again, 'keep', keepWhy(fit, now)), ...rest.map(closer)];
  const why = sentence(
    `it may not come closer than ${now.id}, but it tells most about the way to ${names.target}`,
  );
  return [suggest(best.recipe, 'learn', why), ...rest.filter((c) => c !== best).map(closer)];
}

const offNow = (fit: FilmFit, now: FilmPanel): string =>
  deltaE2000(now.reading.lab, fit.data.target?.lab as Lab).toFixed(1);

/** Why to spray the same again: no step is surely closer; and how the gun stood, where that explains the rest. */
function keepWhy(fit: FilmFit, now: FilmPanel): string {
  const film = fit.residuals.find((r) => r.id === now.id)?.film ?? 1;
  const heavy = Math.round(100 * (film - 1));
  const gun =
    Math.abs(heavy) >= 4
      ? `; ${now.id} came out about ${Math.abs(heavy)} % ${heavy > 0 ? 'heavy' : 'light'}`
      : '';
  return sentence(`no other recipe is surely closer than that of ${now.id}${gun}`);
}

/** Share of the draws in which one recipe, sprayed by an even hand, is nearer to the target than another. */
function surelyCloser(fit: FilmFit, draws: PosteriorDraws, one: Recipe, other: Recipe): number {
  const target = targetDraws(fit, draws) as Float64Array;
  const [a, b] = [compileRecipe(fit.model, one), compileRecipe(fit.model, other)];
  const terms = new Float64Array(3);
  let count = 0;
  draws.states.forEach((state, k) => {
    const off = (lab: Lab): number =>
      ciede2000(lab[0], lab[1], lab[2], target[3 * k], target[3 * k + 1], target[3 * k + 2], terms);
    if (off(filmColour(fit.model, state, a)) < off(filmColour(fit.model, state, b))) count++;
  });
  return count / draws.states.length;
}

/** The best few that are not the same idea twice: at most two of one ground and coats, at most one of one film. */
function unlike(ranked: readonly Ranked[], count: number): Ranked[] {
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

/** Ratios of few parts, up to five coats: a panel to learn from is quickly mixed. */
const QUICK_PARTS = 5;
const QUICK_COATS = 5;

/** The panel whose spraying leaves the goal's colour least open. */
function mostTelling(
  fit: FilmFit,
  goal: Recipe,
  habits: Habits,
  settings: AdviseSettings,
): { recipe: Recipe; after: number } {
  const wanted = sensitivity(fit, goal);
  const u = 0.6;
  const quick = { ...settings, partsUpTo: QUICK_PARTS, coatsFrom: 2, coatsUpTo: QUICK_COATS };
  const habit = { ...habits, carriers: [fit.model.usual.carrier] };
  const tried = allRecipes(habit, quick);
  return [goal, ...tried]
    .map((recipe) => ({ recipe, after: openAfter(wanted, sensitivity(fit, recipe), fit, u) }))
    .reduce((a, b) => (b.after < a.after ? b : a));
}

function suggestion(
  fit: FilmFit,
  draws: PosteriorDraws,
  recipe: Recipe,
  from: Recipe,
  purpose: Suggestion['purpose'],
  why: string,
  { names, pot, cup_ml }: AdviseContext,
): Suggestion {
  const difference = differenceToTarget(fit, draws, recipe);
  const interval95 = difference?.interval95 ?? [0, 0];
  const de00 = difference?.de00 ?? 0;
  const distance = distanceWords(de00, interval95, names);
  const step =
    purpose === 'learn'
      ? `spray ${recipeWords(recipe, names)} to learn from; ${distance}`
      : `${stepWords(from, recipe, names)}; ${distance}`;
  const mix = { parts: recipe.parts, carrier: recipe.carrier };
  return {
    purpose,
    mix,
    coats: recipe.coats,
    ground: recipe.ground,
    reducer_pct: recipe.reducer_pct,
    clear: recipe.clear,
    lab: predictColour(fit, recipe),
    de00,
    interval95,
    words: sentence(step),
    why,
    ...(pot ? { pot: potStep(pot, mix, cup_ml), pot_words: potWords(pot, mix, cup_ml, names.tint) } : {}),
  };
}

function adviceWarnings(
  fit: FilmFit,
  outside: string | undefined,
  first: Suggestion,
  best: Ranked,
): Warning[] {
  const out: Warning[] = [];
  if (outside !== undefined) out.push({ code: 'out-of-reach', message: sentence(outside) });
  const { parts, carrier } = first.mix;
  out.push(...stretches(fit, { ...first, parts, carrier }));
  const sprayed = fit.data.panels.filter((p) => p.recipe.coats > 0).length;
  if (sprayed === 1)
    out.push({
      code: 'one-panel',
      message: 'One sprayed panel says little: spray a second blend before you trust a step.',
    });
  const { target, groups } = fit.data;
  if (target && sprayed >= MANY_PANELS) {
    const shared = target.group === undefined ? undefined : groups.get(target.group);
    const reading = [0, 4, 8].reduce((s, i) => s + target.own[i] + (shared?.[i] ?? 0), 0);
    if (reading > best.open)
      out.push({
        code: 'target-limits',
        message:
          "The panels are well known by now; the target's own reading is the limit. Take a second photo of the target.",
      });
  }
  return out;
}
