import type { Job } from '../../../shared/schemas/job.ts';
import type { Warning } from '../../core/errors.ts';
import type { Recipe } from '../../core/film/index.ts';
import { potOf } from '../../core/study/names.ts';
import { inWords } from '../photos/in-words.ts';
import { latestOf, panelName, useAnswer, useResults } from '../store/index.ts';
import { Figure, Notice, SplitSwatch, useVolume } from '../ui/index.ts';
import { recipeKey } from './plan.ts';
import { pourIntoPot } from './pour.ts';
import { ratioWords, restWords, tintName, withTintNames } from './recipe-words.ts';
import { sprayedAndWaiting } from './same-recipe.ts';

interface PlannedProps {
  readonly job: Job;
  readonly recipe: Recipe;
  /** The panel that has been sprayed so and waits for its photo: there is nothing to pour for it. */
  readonly sprayed?: string | undefined;
}

/** The panel to spray next: what it will look like beside the target, and what to pour for it. */
export function Planned({ job, recipe, sprayed }: PlannedProps) {
  const called = sprayed ?? 'The next panel';
  const prediction = latestOf(useAnswer((bench) => bench.predict(recipe), recipeKey(recipe)));
  const comparison = latestOf(useResults((r) => r.comparison));
  const target = comparison?.panels.find((p) => p.id === 'target');
  return (
    <section className="mix-planned" aria-label={called}>
      {prediction && comparison && target && (
        <SplitSwatch
          white={comparison.white}
          left={{ name: `${called}, as predicted`, lab: prediction.lab }}
          right={{ name: panelName(job, 'target'), lab: target.lab }}
          isLarge
        />
      )}
      <div className="mix-told">
        <div className="mix-recipe">
          <span className="figure-label">{called}</span>
          <strong>{ratioWords(job, recipe.parts)}</strong>
          <span>{restWords(job, recipe)}</span>
        </div>
        {prediction?.de00_to_target != null && (
          <Figure
            label="Expected from the target"
            value={prediction.de00_to_target}
            unit="ΔE00"
            interval={prediction.interval95 ?? undefined}
          />
        )}
        {sprayed === undefined && <Pour job={job} recipe={recipe} />}
      </div>
      {warningsOf(job, prediction?.warnings ?? []).map((words) => (
        <Notice key={words}>{words}</Notice>
      ))}
    </section>
  );
}

/** By the panels' names, and without those that wait for their photo: the screen says so by itself. */
function warningsOf(job: Job, warnings: readonly Warning[]): readonly string[] {
  const waiting = sprayedAndWaiting(job);
  return warnings.flatMap(({ message }) => {
    const isOfWaiting = waiting.some(({ id }) => message.startsWith(`${id} is not used`));
    return isOfWaiting ? [] : [inWords(job, message)];
  });
}

/** What to add to the pot. */
function Pour({ job, recipe }: PlannedProps) {
  const volume = useVolume();
  const pot = potOf(job);
  if (!pot) return null;
  const pour = pourIntoPot(pot, recipe, { cup_ml: job.cup_ml });
  if ('impossible' in pour)
    return (
      <div className="mix-pour">
        <span className="figure-label">From the pot</span>
        <strong>Start a new pot</strong>
        <span>{withTintNames(job, pour.impossible)}.</span>
      </div>
    );
  return (
    <div className="mix-pour">
      <span className="figure-label">
        {pour.isWholePot
          ? `Add to the ${volume.write(pot.volume_ml)} in the pot`
          : `Take ${volume.write(pour.take_ml)} of the pot, then add`}
      </span>
      {pour.isRight && (
        <strong>{pour.lines.length > 0 ? 'only the reducer' : 'nothing: the pot is right'}</strong>
      )}
      <ul>
        {pour.lines.map(({ what, ml }) => (
          <li key={what}>
            <strong className="numbers">{volume.write(ml)}</strong> {tintName(job, what)}
          </li>
        ))}
      </ul>
      <span className="figure-interval">
        {volume.write(pour.total_ml)} in all{pour.isWholePot ? '' : ', the cup full'}
      </span>
    </div>
  );
}
