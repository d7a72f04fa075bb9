import type { Job } from '../../../shared/schemas/job.ts';
import type { Recipe } from '../../core/film/index.ts';
import type { MixingSheet } from '../../core/mix/index.ts';
import type { AppProblem } from '../store/index.ts';
import { Notice } from '../ui/index.ts';
import { Amounts, AsPoured } from './Amounts.tsx';
import { withTintNames } from './recipe-words.ts';

interface AnewProps {
  readonly job: Job;
  readonly recipe: Recipe;
  readonly title: string;
  readonly sheet: MixingSheet | undefined;
  readonly problem: AppProblem | undefined;
  /** What the sheet's amounts make where they are rounded. */
  readonly poured: Recipe | undefined;
}

/** The whole recipe mixed from nothing. */
export function Anew({ job, recipe, title, sheet, problem, poured }: AnewProps) {
  if (!sheet && !problem) return null;
  return (
    <section className="mix-sheet">
      <h2>{title}</h2>
      {problem && <Notice problem={{ ...problem, message: withTintNames(job, problem.message) }} />}
      {sheet && (
        <>
          <Amounts job={job} lines={sheet.lines} total="in all" total_ml={sheet.total_ml} />
          {poured && <AsPoured job={job} recipe={recipe} poured={poured} />}
          {sheet.warnings.map((w) => (
            <p key={w.message} className="mix-why">
              {w.message}
            </p>
          ))}
        </>
      )}
    </section>
  );
}
