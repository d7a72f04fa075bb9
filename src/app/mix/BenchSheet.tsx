import { useEffect } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import type { Recipe } from '../../core/film/index.ts';
import { CAUTIONS } from '../../core/mix/cautions.ts';
import { reducerFor } from '../../core/mix/index.ts';
import { potOf } from '../../core/study/names.ts';
import { useSession } from '../store/index.ts';
import { Button, Screen } from '../ui/index.ts';
import { Anew } from './Anew.tsx';
import { FromPot } from './FromPot.tsx';
import { HowMuch } from './HowMuch.tsx';
import { isPotPoured } from './plan.ts';
import { isRightByMarks, type PotPour, pouredBySheet, pourIntoPot } from './pour.ts';
import { ratioWords, restWords } from './recipe-words.ts';
import { type PouredWay, Sprayed } from './Sprayed.tsx';
import { isSameRecipe, waitingTwin } from './same-recipe.ts';
import { Ticks } from './Ticks.tsx';
import { useSheet } from './use-sheet.ts';
import { Waiting } from './Waiting.tsx';

interface BenchSheetProps {
  readonly job: Job;
  readonly recipe: Recipe;
  readonly onBack: () => void;
}

/** The sheet for the bench: what to pour, then what to do, ticked off as it is done. Prints on one page. */
export function BenchSheet({ job, recipe, onBack }: BenchSheetProps) {
  useEffect(() => scrollTo(0, 0), []);
  const marks_ml = useSession((s) => s.marks_ml);
  const pour = potPourOf(job, recipe, marks_ml);
  const paint_ml = pour?.paint_ml ?? 100;
  const wanted_ml = job.next?.volume_ml ?? paint_ml + reducerFor(paint_ml, recipe.reducer_pct);
  const { sheet, problem } = useSheet(job, recipe, wanted_ml, marks_ml);
  const anew = sheet && pouredBySheet(recipe, sheet, marks_ml);
  const isPoured = isPotPoured(job);
  const ways = waysOf(recipe, pour, anew, isPoured);
  const twin = waitingTwin(job, [recipe, ...ways.map((way) => way.recipe)]);
  return (
    <Screen
      sentence={`${ratioWords(job, recipe.parts)}.`}
      detail={`${restWords(job, recipe).replace(/^./, (c) => c.toUpperCase())}.`}
      aside={<HowMuch wanted_ml={wanted_ml} marks_ml={marks_ml} />}
      next={
        <>
          <Sprayed job={job} ways={ways} isAnother={twin !== undefined} />
          <Button onPress={() => print()}>Print the sheet</Button>
          <Button kind="quiet" onPress={onBack}>
            Back to the advice
          </Button>
        </>
      }
    >
      {twin && (
        <div className="mix-not-printed">
          <Waiting job={job} panel={twin} isTwin />
        </div>
      )}
      {pour && <FromPot job={job} recipe={recipe} pour={pour} marks_ml={marks_ml} isPoured={isPoured} />}
      <Anew
        job={job}
        recipe={recipe}
        title={anewTitle(job, pour)}
        sheet={sheet}
        problem={problem}
        poured={marks_ml === undefined ? undefined : anew}
      />
      <section className="mix-sheet">
        <h2>Then</h2>
        <Ticks
          job={job}
          steps={[
            ...(sheet?.steps ?? []).map((words, i) => ({ id: `step-${i + 1}`, words })),
            ...Array.from({ length: recipe.coats }, (_, i) => ({
              id: `coat-${i + 1}`,
              words: `Coat ${i + 1} of ${recipe.coats}`,
            })),
            ...(recipe.clear ? [{ id: 'clear', words: 'Clear, and let it cure before you judge' }] : []),
          ]}
        />
        <p className="mix-why">
          Steps and limits of the trade are common practice, no source: the product’s own sheet goes first.
        </p>
      </section>
      <section className="mix-sheet mix-cautions">
        <h2>Mind</h2>
        <ul>
          {CAUTIONS.filter((c) => c.at !== 'spraying' || recipe.clear).map((c) => (
            <li key={c.at}>{c.message}</li>
          ))}
        </ul>
      </section>
    </Screen>
  );
}

/** What the pot wants; nothing more once it has been given what the marks allow. */
function potPourOf(job: Job, recipe: Recipe, marks_ml: number | undefined): PotPour | undefined {
  const pot = potOf(job);
  if (!pot) return undefined;
  const isGiven = marks_ml !== undefined && isPotPoured(job) && isRightByMarks(pot, recipe, marks_ml);
  const goal = isGiven ? { ...recipe, ...pot.mix } : recipe;
  const pour = pourIntoPot(pot, goal, { cup_ml: job.cup_ml, marks_ml });
  return 'impossible' in pour ? undefined : pour;
}

/** What may be in the gun: one way where all are the same, or where the pot is known to be it. */
function waysOf(
  recipe: Recipe,
  pour: PotPour | undefined,
  anew: Recipe | undefined,
  isPoured: boolean,
): readonly PouredWay[] {
  const fromPot = pour && { words: 'The pot', recipe: pour.poured };
  if (fromPot && isPoured && pour.isRight) return [fromPot];
  const mixed = anew && { words: 'Mixed anew', recipe: anew };
  if (fromPot && mixed && !isSameRecipe(fromPot.recipe, mixed.recipe)) return [fromPot, mixed];
  return [mixed ?? fromPot ?? { words: 'As planned', recipe }];
}

function anewTitle(job: Job, pour: PotPour | undefined): string {
  if (!pour) return job.pot ? 'Pour into a new pot' : 'Pour';
  return pour.isRight ? 'If you would rather mix it anew' : 'Or mixed anew';
}
