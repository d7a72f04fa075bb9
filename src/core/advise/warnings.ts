import type { Warning } from '../errors.ts';
import { stretches } from '../film/index.ts';
import { isWithin } from './net.ts';
import type { Ranked } from './rank.ts';
import type { Search } from './search.ts';
import type { Suggestion } from './types.ts';
import { panelWords, recipeWords, sentence } from './words.ts';

/** Panels from which the target's own reading is what limits the advice. */
const MANY_PANELS = 9;

export function adviceWarnings(
  { fit, names, now, now_de00, settings }: Search,
  outside: string | undefined,
  first: Suggestion,
  best: Ranked,
): Warning[] {
  const out: Warning[] = [];
  if (outside !== undefined) out.push({ code: 'out-of-reach', message: sentence(outside) });
  if (!isWithin(now.recipe, settings) && first.de00 > now_de00)
    out.push({
      code: 'ruled-out',
      message: `${panelWords(now.id, names)} came nearer than any of these will, but its recipe is not among what you allow: ${recipeWords(now.recipe, names)}.`,
    });
  const { parts, carrier } = first.mix;
  out.push(...stretches(fit, { ...first, parts, carrier }, names));
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
          "The panels are well known by now; the target's own reading is the limit. Take another photo of the target, or have it read by an instrument.",
      });
  }
  return out;
}
