import type { Job } from '../../../shared/schemas/job.ts';
import type { Recipe } from '../../core/film/index.ts';
import { Button, useVolume } from '../ui/index.ts';
import { Amounts, AsPoured } from './Amounts.tsx';
import { potPoured } from './plan.ts';
import type { PotPour } from './pour.ts';
import { ratioWords, tintName } from './recipe-words.ts';
import { isSameRecipe } from './same-recipe.ts';

interface FromPotProps {
  readonly job: Job;
  readonly recipe: Recipe;
  readonly pour: PotPour;
  readonly marks_ml: number | undefined;
  /** The painter has poured it already: reducer may be in it. */
  readonly isPoured: boolean;
}

/** What goes into the pot that is mixed already. */
export function FromPot({ job, recipe, pour, marks_ml, isPoured }: FromPotProps) {
  const volume = useVolume();
  const { take_ml, isWholePot, isRight, lines, paint_ml, total_ml, poured, tooFine } = pour;
  const isOther = !isSameRecipe(poured, recipe);
  const isRounded = marks_ml !== undefined && (isOther || (lines.length > 0 && !tooFine));
  return (
    <section className="mix-sheet">
      <h2>{headingOf(pour, volume.write(take_ml))}</h2>
      {isRight && (
        <p>
          {isWholePot ? `${volume.write(take_ml)} of ` : 'It is '}
          {ratioWords(job, poured.parts)}
          {isWholePot && ' are in it'}. {reducerWords(lines.length > 0, isPoured)}
        </p>
      )}
      {lines.length > 0 && (
        <Amounts job={job} lines={lines} total="in all, with the pot" total_ml={total_ml} />
      )}
      {tooFine && marks_ml !== undefined && (
        <p>
          <strong>Not rounded to the marks:</strong> {volume.write(tooFine.ml)} of{' '}
          {tintName(job, tooFine.what)} is less than half a mark of {volume.write(marks_ml)}. Measure finer.
        </p>
      )}
      {isRounded && <AsPoured job={job} recipe={recipe} poured={poured} />}
      {!isRight && <Button onPress={() => potPoured(poured, paint_ml)}>Poured: the pot is right now</Button>}
    </section>
  );
}

function headingOf({ isRight, isWholePot }: PotPour, amount: string): string {
  if (isRight) return isWholePot ? 'The pot is right as it is' : `The pot is right: take ${amount} of it`;
  return isWholePot ? `Into the ${amount} that are in the pot` : `Into ${amount} of the pot`;
}

function reducerWords(hasReducer: boolean, isPoured: boolean): string {
  if (!hasReducer) return 'No reducer goes in.';
  return isPoured ? 'Only the reducer goes in, unless you poured it already.' : 'Only the reducer goes in.';
}
