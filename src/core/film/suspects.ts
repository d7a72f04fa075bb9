/**
 * Which panels disagree with the rest. Each doubtful one is judged by a fit that has not seen it: is its colour
 * likelier when something was entered wrongly, or as it was entered?
 */
import { compileRecipe } from './model.ts';
import { type Observation, type ObservationGroup, without } from './observe.ts';
import { agreement, distanceInside, seenBy } from './predictive.ts';
import { slipsOf } from './slips.ts';
import { type Fitted, type Solution, solve, startAt } from './solve.ts';
import { ordinary } from './start.ts';
import type { Recipe } from './types.ts';

/**
 * ln of how much likelier a slip must be for a panel to be named: the more panels, the more chances for a sound one.
 * Set on simulated shops so that 2 to 3 % of sound jobs have a panel named.
 */
const namedFrom = (panels: number): number => Math.min(4, 1.9 + 0.18 * Math.max(0, panels - 9));
/** … and it must be far enough off to matter, ΔE2000. */
const NAMED_DE00 = 2;
/**
 * Panels worth a fit of their own: those at least this far off as the fit stands, the worst few of them. Among few
 * panels a wrong one bends the fit to itself: there every panel is asked that is not wholly as expected.
 */
const DOUBTFUL = { few: 2, many: 5 } as const;
const QUESTIONED = { few: 9, many: 4 } as const;
const FEW = 10;
/** ln of the density, in the whitened frame, of a colour that no slip explains, such as a wrong reading. */
const ANYTHING = Math.log(0.05) - 12;
/** A bare ground is harder to enter wrongly than a sprayed panel: ln of how much. */
const BARE = -4;
/** Panels whose slips are nearly as likely are both named: one of them is wrong, and nobody can say which. */
const EITHER = 1.5;

export interface Suspicion {
  readonly index: number;
  /** ΔE2000 from what the other panels say of its recipe. */
  readonly de00_alone: number;
  readonly suspect: boolean;
  /** What a suspect was more likely sprayed with, where one recipe stands out. */
  readonly looksLike?: Recipe | undefined;
}

/** Judges the doubtful panels of a fit; `index` counts the observations in their order. */
export function suspicions(fitted: Fitted): Suspicion[] {
  const out: Suspicion[] = [];
  const indexOf = new Map(fitted.groups.flatMap((g) => g.observations).map((o, i) => [o, i]));
  // more than a quarter of the panels wrong is not something to find out this way
  const limit = Math.max(1, Math.floor(indexOf.size / 4));
  let left = fitted;
  for (let round = 0; round < limit; round++) {
    const doubts = doubtsOf(left);
    if (doubts.length === 0) break;
    const named = doubts.filter((d) => d.evidence > namedFrom(indexOf.size) && d.de00 > NAMED_DE00);
    const suspects = named.filter((d) => d.evidence > named[0].evidence - EITHER);
    const suspect = suspects.length > 0;
    for (const d of suspect ? suspects : doubts.slice(0, 1))
      out.push({
        index: indexOf.get(d.observation) ?? -1,
        de00_alone: d.de00,
        suspect,
        looksLike: suspect ? d.looksLike : undefined,
      });
    if (suspects.length !== 1) break;
    left = { ...fitted, groups: suspects[0].others, solution: suspects[0].fit };
  }
  return out;
}

interface Doubt {
  readonly observation: Observation;
  readonly de00: number;
  /** ln of how much likelier the panel's colour is after a slip than as entered. */
  readonly evidence: number;
  readonly looksLike: Recipe | undefined;
  readonly others: ObservationGroup[];
  readonly fit: Solution;
}

/** The doubtful panels, the likeliest slip first. */
function doubtsOf(fitted: Fitted): Doubt[] {
  const panels = fitted.groups.flatMap((g) => g.observations);
  return questioned(fitted, panels)
    .map((observation) => doubtOf(fitted, observation, panels.length <= FEW))
    .sort((a, b) => b.evidence - a.evidence);
}

function questioned({ model, groups, solution }: Fitted, panels: readonly Observation[]): Observation[] {
  const seen = seenBy(model, groups, solution);
  const are = panels.length <= FEW ? 'few' : 'many';
  return panels
    .map((observation) => ({ observation, off: distanceInside(seen, observation) }))
    .filter(({ off }) => off > DOUBTFUL[are])
    .sort((a, b) => b.off - a.off)
    .slice(0, QUESTIONED[are])
    .map(({ observation }) => observation);
}

/** `afresh`: the fit of the others also starts anew, so as not to stay where a wrong panel has led it. */
function doubtOf({ model, groups, solution }: Fitted, observation: Observation, afresh: boolean): Doubt {
  const others = without(groups, observation);
  let fit = solve(model, others, startAt(others, solution.x));
  if (afresh) {
    const again = solve(model, others, startAt(others, ordinary(model, others)), fit.objective);
    if (again.objective < fit.objective) fit = again;
  }
  const seen = seenBy(model, others, fit);
  const { recipe } = observation.panel;
  const entered = agreement(seen, observation, observation.recipe);
  const sprayed = others.flatMap((g) => g.observations).map((o) => o.panel.recipe);
  const slips = slipsOf(
    model,
    recipe,
    sprayed.filter((r) => r.coats > 0),
  ).map((slip) => {
    const { distance, lnAllowance } = agreement(seen, observation, compileRecipe(model, slip.recipe));
    return { slip, ln: Math.log(slip.share) - (distance + lnAllowance) / 2 };
  });
  const lnSlipped = lnSum([...slips.map((s) => s.ln), ANYTHING]);
  const likeliest = slips.find((s) => s.ln > lnSlipped - Math.LN2);
  // as entered, the panel costs the fit what the objective falls by without it: truer than its linear distance
  const lnEntered = -(solution.objective - fit.objective + entered.lnAllowance) / 2;
  return {
    observation,
    de00: entered.de00,
    evidence: lnSlipped - lnEntered + (recipe.coats > 0 ? 0 : BARE),
    looksLike: likeliest?.slip.recipe,
    others,
    fit,
  };
}

/** ln Σ e^v. */
function lnSum(values: readonly number[]): number {
  const most = Math.max(...values);
  return most + Math.log(values.reduce((sum, v) => sum + Math.exp(v - most), 0));
}
