/** Advice: what to spray next to come closer to the target, and what to pour into the pot for it. */
import { deltaE2000, type Lab } from '../color/index.ts';
import { DEFAULT_TOLERANCES, type Tolerances } from '../compare/tolerances.ts';
import { SprayoutError } from '../errors.ts';
import { checkParts, type FilmFit, type FilmPanel, posteriorDraws, targetColour } from '../film/index.ts';
import type { Pot } from '../mix/index.ts';
import { nearestCandidates } from './candidates.ts';
import { choose } from './choose.ts';
import { habitsOf, sameRatio } from './net.ts';
import { FEW_PANELS, mostHopeful, rank } from './rank.ts';
import { reachOf } from './reach.ts';
import type { Search } from './search.ts';
import { ADVISE_SETTINGS, type AdviseSettings } from './settings.ts';
import type { Advice } from './types.ts';
import { adviceWarnings } from './warnings.ts';
import { type Names, shortNames } from './words.ts';

export { ADVISE_SETTINGS, type AdviseSettings, PRICES, type Prices } from './settings.ts';
export type * from './types.ts';
export type { Names } from './words.ts';

export interface AdviseContext {
  readonly names: Names;
  readonly pot?: Pot | undefined;
  readonly cup_ml?: number | undefined;
  /** For the words: which differences are seen, and accepted. */
  readonly tolerances?: Tolerances | undefined;
  readonly settings?: Partial<AdviseSettings> | undefined;
}

/** Candidates that are priced: the nearest ones, by far more than any price reaches. */
const NEAREST = 600;

/**
 * Throws `no-target` without a measured target, `not-enough-panels` when no ground may be used, `mix-invalid` for a pot
 * that holds no mix of the job's tints.
 */
export function advise(fit: FilmFit, context: AdviseContext): Advice {
  const search = searchOf(fit, context);
  const { target, now, now_de00 } = search;
  const all = nearestCandidates(fit, search.habits, search.settings, target, NEAREST);
  const ranked = rank(search, all);
  const hopeful = search.few ? mostHopeful(ranked).de00 : Number.POSITIVE_INFINITY;
  const reach = reachOf(search, all[0], hopeful);
  const suggestions = choose(search, ranked);
  const outside = reach.within ? undefined : reach.words;
  return {
    now: { panel: now.id, de00: now_de00 },
    suggestions,
    reach,
    basis: { panels_used: fit.panels_used, residual_mean_de00: fit.residual_mean_de00 },
    warnings: [...fit.warnings, ...adviceWarnings(search, outside, suggestions[0], ranked[0])],
  };
}

function searchOf(fit: FilmFit, context: AdviseContext): Search {
  const settings = { ...ADVISE_SETTINGS, ...context.settings };
  const target = targetColour(fit);
  if (!target || !fit.data.target)
    throw new SprayoutError(
      'no-target',
      'The job has no measured target to come closer to.',
      'Add "target" with "measured": a "lab", or its corners in a photo.',
    );
  const habits = habitsOf(fit, settings);
  if (habits.grounds.length === 0)
    throw new SprayoutError(
      'not-enough-panels',
      'None of the grounds to use has been measured.',
      'Measure the grounds you own bare.',
    );
  const now = nearestPanel(fit, fit.data.target.lab);
  const { pot, cup_ml, tolerances = DEFAULT_TOLERANCES } = context;
  if (pot) checkParts(pot.mix, 'The pot', fit.data.tints);
  return {
    fit,
    draws: posteriorDraws(fit),
    target,
    habits,
    settings,
    names: shortNames(context.names, fit.data.tints),
    now,
    now_de00: deltaE2000(now.reading.lab, fit.data.target.lab),
    from: pot ? { ...now.recipe, ...pot.mix } : now.recipe,
    few: isFew(fit, habits.tints.length),
    pot,
    cup_ml,
    tolerances,
  };
}

/** The sprayed panel that measured nearest to the target. */
function nearestPanel(fit: FilmFit, target: Lab): FilmPanel {
  const off = (p: FilmPanel): number => deltaE2000(p.reading.lab, target);
  return fit.data.panels.filter((p) => p.recipe.coats > 0).reduce((a, b) => (off(b) < off(a) ? b : a));
}

/** Few panels, or fewer blends than tints: then most ratios are a guess. */
function isFew(fit: FilmFit, tints: number): boolean {
  const sprayed = fit.data.panels.map((p) => p.recipe).filter((r) => r.coats > 0);
  const blends = sprayed.filter((r, i) => sprayed.findIndex((s) => sameRatio(s.parts, r.parts)) === i);
  return sprayed.length <= FEW_PANELS || blends.length < tints;
}
