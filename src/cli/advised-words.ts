import type { Advice, Suggestion } from '../core/advise/index.ts';
import type { FilmFit } from '../core/film/index.ts';

/** Advice for a terminal: the step, its reason, what to pour, what else would do, and how well each panel is explained. */
export function adviceWords(advice: Advice, fit: FilmFit): string {
  const others = advice.suggestions.slice(1);
  const lines = stepLines(advice);
  if (others.length > 0) lines.push('', 'Also possible:', ...others.map((s: Suggestion) => `  ${s.words}`));
  lines.push('', `${basisSentence(advice)}:`);
  for (const r of fit.residuals) {
    const off = Math.round(100 * (r.film - 1));
    const film = Math.abs(off) >= 3 ? `, film ${Math.abs(off)} % ${off > 0 ? 'heavy' : 'light'}` : '';
    lines.push(`  ${r.id}  ${r.de00.toFixed(1)}${film}${r.suspect ? '  ← disagrees with the rest' : ''}`);
  }
  return lines.join('\n');
}

/** What to do, why, and what to pour, a line each; before them that the target is out of reach, where it is. */
export function stepLines({ suggestions: [first], reach }: Advice): string[] {
  return [
    ...(reach.within ? [] : [`${reach.words[0].toUpperCase()}${reach.words.slice(1)}.`]),
    first.words,
    first.why,
    first.pot_words,
  ];
}

/** How many panels stand behind an advice, and how well their recipes explain their colours. */
export function basisSentence({ basis }: Advice): string {
  return `Learned from ${basis.panels_used} panels, which the model explains to ${basis.residual_mean_de00.toFixed(1)} on average`;
}
