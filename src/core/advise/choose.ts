/** What to advise of the ranked recipes: a step the panels support, the same again, or a panel to learn from. */
import { ciede2000 } from '../color/ciede2000.ts';
import type { Lab } from '../color/index.ts';
import { filmColour } from '../film/colour.ts';
import { differenceToTarget, type Recipe, targetDraws } from '../film/index.ts';
import { compileRecipe } from '../film/model.ts';
import { isWithin, sameRecipe } from './net.ts';
import { mostHopeful, type Ranked, unlike } from './rank.ts';
import type { Search } from './search.ts';
import { suggestion } from './suggestion.ts';
import { mostTelling } from './telling.ts';
import type { Suggestion } from './types.ts';
import { wayToTarget } from './way.ts';
import { closerWhy, keepWhy, learnWhy, panelWords, sentence } from './words.ts';

/** A step is supported when it is closer in this share of the draws than what was sprayed nearest. */
const SUPPORTED = 0.6;
/** With few panels one sprayed to learn beats the advised recipe when a colour is open by more than this, ΔE2000. */
const TOO_OPEN = 1.5;

/** Suggestions, best first. */
export function choose(search: Search, ranked: readonly Ranked[]): Suggestion[] {
  const { fit, habits, settings, now, names } = search;
  const [best] = ranked;
  const others = unlike(ranked, settings.suggestions);
  const suggest = (recipe: Recipe, purpose: Suggestion['purpose'], why: string): Suggestion =>
    suggestion(search, recipe, purpose, sentence(why));
  const panel = panelWords(now.id, names);
  const way = closerWhy(panel, search.now_de00, wayToTarget(search), names);
  const closer = (c: Ranked): Suggestion => suggest(c.recipe, 'closer', way);
  const again = { ...now.recipe, reducer_pct: habits.reducer_pct, clear: habits.clear };
  const keep = (): Suggestion =>
    suggest(again, 'keep', keepWhy(panel, fit.residuals.find((r) => r.id === now.id)?.film ?? 1));
  const hoped = search.few && Math.sqrt(best.open) <= TOO_OPEN ? mostHopeful(ranked).recipe : best;
  const open = Math.sqrt(hoped.open);
  if (search.few && open > TOO_OPEN) {
    const telling = mostTelling(search, hoped.recipe);
    const why = learnWhy(open, Math.sqrt(telling.after));
    const rest = others.filter((c) => !sameRecipe(c.recipe, telling.recipe));
    return [suggest(telling.recipe, 'learn', why), ...rest.slice(0, settings.suggestions - 1).map(closer)];
  }
  if (
    !isWithin(again, settings) ||
    sameRecipe(best.recipe, again) ||
    surelyCloser(search, best.recipe, again) >= SUPPORTED
  )
    return others.map((c) => (sameRecipe(c.recipe, again) ? keep() : closer(c)));
  const rest = others.filter((c) => !sameRecipe(c.recipe, again)).slice(0, settings.suggestions - 1);
  const difference = differenceToTarget(fit, search.draws, again);
  if (difference && difference.de00 < 2 * TOO_OPEN) return [keep(), ...rest.map(closer)];
  const why = `it may not come closer than ${panel}, but it tells most about the way to ${names.target}`;
  return [suggest(best.recipe, 'learn', why), ...rest.filter((c) => c !== best).map(closer)];
}

/** Share of the draws in which one recipe, sprayed by an even hand, is nearer to the target than another. */
function surelyCloser({ fit, draws }: Search, one: Recipe, other: Recipe): number {
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
