import type { Job } from '../../../shared/schemas/job.ts';
import type { Recipe } from '../../core/film/index.ts';
import { correctPot } from '../../core/mix/pot.ts';
import { potOf } from '../../core/study/names.ts';
import { latestOf, panelName, useAnswer, useResults } from '../store/index.ts';
import { Figure, Notice, SplitSwatch, useVolume } from '../ui/index.ts';
import { recipeKey } from './plan.ts';
import { ratioWords, restWords, tintName } from './recipe-words.ts';

interface PlannedProps {
  readonly job: Job;
  readonly recipe: Recipe;
}

/** The panel to spray next: what it will look like beside the target, and what to pour for it. */
export function Planned({ job, recipe }: PlannedProps) {
  const prediction = latestOf(useAnswer((bench) => bench.predict(recipe), recipeKey(recipe)));
  const comparison = latestOf(useResults((r) => r.comparison));
  const target = comparison?.panels.find((p) => p.id === 'target');
  return (
    <section className="mix-planned" aria-label="The next panel">
      {prediction && comparison && target && (
        <SplitSwatch
          white={comparison.white}
          left={{ name: 'The next panel, as predicted', lab: prediction.lab }}
          right={{ name: panelName(job, 'target'), lab: target.lab }}
          isLarge
        />
      )}
      <div className="mix-told">
        <div className="mix-recipe">
          <span className="figure-label">The next panel</span>
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
        <Pour job={job} recipe={recipe} />
      </div>
      {prediction?.warnings.map((w) => (
        <Notice key={w.message}>{w.message}</Notice>
      ))}
    </section>
  );
}

/** What to add to the pot. */
function Pour({ job, recipe }: PlannedProps) {
  const volume = useVolume();
  const pot = potOf(job);
  if (!pot) return null;
  const goal = { parts: recipe.parts, carrier: recipe.carrier };
  const step = correctPot(pot, goal, { cup_ml: job.cup_ml });
  if ('impossible' in step)
    return (
      <div className="mix-pour">
        <span className="figure-label">From the pot</span>
        <strong>Start a new pot</strong>
        <span>{namesIn(job, step.impossible)}.</span>
      </div>
    );
  return (
    <div className="mix-pour">
      <span className="figure-label">
        {step.fits
          ? `Add to the ${volume.write(pot.volume_ml)} in the pot`
          : `Take ${volume.write(step.take_ml)} of the pot, then add`}
      </span>
      {step.additions.length === 0 ? (
        <strong>nothing: the pot is right</strong>
      ) : (
        <ul>
          {step.additions.map(({ what, ml }) => (
            <li key={what}>
              <strong className="numbers">{volume.write(ml * (step.take_ml / pot.volume_ml))}</strong>{' '}
              {tintName(job, what)}
            </li>
          ))}
        </ul>
      )}
      <span className="figure-interval">
        {volume.write(step.fits ? step.final_ml : (job.cup_ml ?? step.final_ml))} in all
        {step.fits ? '' : ', the cup full'}
      </span>
    </div>
  );
}

/** The core calls tints by their ids. */
function namesIn(job: Job, words: string): string {
  const known = job.tints.find((t) => words.includes(` ${t.id} `));
  const said = known ? words.replace(` ${known.id} `, ` ${tintName(job, known.id)} `) : words;
  return said.charAt(0).toUpperCase() + said.slice(1);
}
