import type { Job } from '../../../shared/schemas/job.ts';
import type { Recipe } from '../../core/film/index.ts';
import { formatNumber, useVolume } from '../ui/index.ts';
import { letdownParts, ratioWords, tintName } from './recipe-words.ts';
import { isSameRecipe } from './same-recipe.ts';
import { useRounding } from './use-sheet.ts';

interface AmountsProps {
  readonly job: Job;
  readonly lines: readonly { readonly what: string; readonly ml: number }[];
  readonly total: string;
  readonly total_ml: number;
}

/** What to pour, and what it comes to. */
export function Amounts({ job, lines, total, total_ml }: AmountsProps) {
  const volume = useVolume();
  return (
    <dl className="mix-amounts numbers">
      {[...lines.map(({ what, ml }) => [tintName(job, what), ml] as const), [total, total_ml] as const].map(
        ([words, ml]) => (
          <div key={words}>
            <dt>{words}</dt>
            <dd>{volume.write(ml)}</dd>
          </div>
        ),
      )}
    </dl>
  );
}

interface AsPouredProps {
  readonly job: Job;
  readonly recipe: Recipe;
  readonly poured: Recipe;
}

/** What amounts rounded to the cup's marks really make, and what that does to the colour. */
export function AsPoured({ job, recipe, poured }: AsPouredProps) {
  const rounding = useRounding(recipe, poured);
  const [is, wanted] = [poured, recipe].map((r) => [ratioWords(job, r.parts), ...letdownParts(r)]);
  if (isSameRecipe(poured, recipe))
    return <p>Every amount is a whole mark of the cup: the colour stays as planned.</p>;
  const other = wanted.filter((words) => !is.includes(words));
  return (
    <p className="mix-as-poured">
      <strong>
        By the marks this is {is.join(', ')}
        {other.length > 0 && `, not ${other.join(', ')}`}.
      </strong>
      {rounding !== undefined && (
        <span>
          Rounding moves the colour by {formatNumber(rounding)} ΔE00
          {rounding > 0.5 ? ': measure finer, or mix more.' : '.'}
        </span>
      )}
    </p>
  );
}
