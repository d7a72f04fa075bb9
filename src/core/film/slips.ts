/** What may have been entered wrongly: the recipes a panel may really have had. */
import type { FilmModel } from './model.ts';
import type { Recipe } from './types.ts';

export interface Slip {
  readonly recipe: Recipe;
  /** Share of all slips, beforehand. */
  readonly share: number;
}

/** How often coats are miscounted, ratios mixed up, grounds mistaken: a judgement, no source. */
const SHARES = { coats: 0.45, ratio: 0.45, ground: 0.05 } as const;
const MISCOUNTS = [-2, -1, 1, 2];
const MISPOURS = [0.25, 0.5, 2, 4];

/** Coats miscounted, the ratio of another panel or one poured wrongly, another ground. */
export function slipsOf(
  { tints, grounds }: Pick<FilmModel, 'tints' | 'grounds'>,
  entered: Recipe,
  sprayed: readonly Recipe[],
): Slip[] {
  const evenly = (share: number, recipes: readonly Recipe[]): Slip[] =>
    recipes.map((recipe) => ({ recipe, share: share / recipes.length }));
  const elsewhere = grounds.filter((g) => g !== entered.ground).map((ground) => ({ ...entered, ground }));
  if (entered.coats === 0) return evenly(SHARES.ground, elsewhere);
  const coats = MISCOUNTS.map((d) => entered.coats + d).filter((n) => n > 0);
  return [
    ...evenly(
      SHARES.coats,
      coats.map((n) => ({ ...entered, coats: n })),
    ),
    ...evenly(
      SHARES.ratio,
      otherRatios(tints, entered.parts, sprayed).map((parts) => ({ ...entered, parts })),
    ),
    ...evenly(SHARES.ground, elsewhere),
  ];
}

type Parts = Recipe['parts'];

function otherRatios(tints: readonly string[], entered: Parts, sprayed: readonly Recipe[]): Parts[] {
  const used = tints.filter((t) => (entered[t] ?? 0) > 0);
  const poured =
    used.length < 2
      ? []
      : used.flatMap((t) => MISPOURS.map((times) => ({ ...entered, [t]: entered[t] * times })));
  const [a, b] = used;
  const swapped = used.length === 2 ? [{ ...entered, [a]: entered[b], [b]: entered[a] }] : [];
  const seen = new Set([ratioKey(tints, entered)]);
  return [...sprayed.map((r) => r.parts), ...poured, ...swapped].filter((parts) => {
    const key = ratioKey(tints, parts);
    return seen.has(key) ? false : seen.add(key);
  });
}

function ratioKey(tints: readonly string[], parts: Parts): string {
  const total = tints.reduce((sum, t) => sum + (parts[t] ?? 0), 0);
  return tints.map((t) => ((parts[t] ?? 0) / total).toFixed(4)).join(' ');
}

/** The slip in words, such as `2 coats` or `blue 3 : red 1`; names are ids. */
export function slipWords(entered: Recipe, { coats, ground, parts }: Recipe): string {
  if (coats !== entered.coats) return `${coats} ${coats === 1 ? 'coat' : 'coats'}`;
  if (ground !== entered.ground) return `ground ${ground}`;
  const used = Object.entries(parts).filter(([, p]) => p > 0);
  const least = Math.min(...used.map(([, p]) => p));
  return used.map(([t, p]) => `${t} ${Math.round((100 * p) / least) / 100}`).join(' : ');
}
