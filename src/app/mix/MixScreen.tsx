import { useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import { goTo } from '../shell/route.ts';
import { latestOf, panelName, useDocument, useResults } from '../store/index.ts';
import { Button, EmptyState, Notice, Screen } from '../ui/index.ts';
import { BenchSheet } from './BenchSheet.tsx';
import { Disagreeing } from './Disagreeing.tsx';
import { detailOf, headline, recipeLine } from './headline.ts';
import { Ladder } from './Ladder.tsx';
import './mix.css';
import { PaintFields } from './PaintFields.tsx';
import { Planned } from './Planned.tsx';
import { PotFields } from './PotFields.tsx';
import { planNext, plannedRecipe, recipeKey, recipeOf } from './plan.ts';
import { sprayedAndWaiting, waitingTwin } from './same-recipe.ts';
import { toPhotoOf, Waiting } from './Waiting.tsx';
import { Ways } from './Ways.tsx';

/** What do I change, and what do I pour? */
export default function MixScreen() {
  const id = useDocument((d) => d.id);
  const job = useDocument((d) => d.job);
  const work = useResults((r) => r.advice);
  const [isAtBench, setAtBench] = useState(false);
  if (!job) return null;
  const advice = latestOf(work);
  const recipe = plannedRecipe(job, advice?.suggestions ?? []);
  if (isAtBench && recipe) return <BenchSheet job={job} recipe={recipe} onBack={() => setAtBench(false)} />;
  const problem = work.state === 'failed' && <Notice problem={work.problem} />;
  if (!advice || !recipe)
    return (
      <Screen
        sentence="Not enough is known yet to say what to change."
        aside={<Paint job={job} />}
        next={
          <Button kind="primary" onPress={() => goTo('photos', id)}>
            To the photos
          </Button>
        }
      >
        {problem}
        {work.state === 'working' ? (
          <p>The paint is being learned from your panels.</p>
        ) : (
          <EmptyState title="What it takes">
            <ol>
              <li>A target: the customer’s sample in a photo, or its measured colour.</li>
              <li>Two panels or more, of different ratios, with their recipes.</li>
              <li>Each ground once bare: it costs no paint, and tells the most.</li>
            </ol>
          </EmptyState>
        )}
      </Screen>
    );
  const twin = waitingTwin(job, [recipe]);
  const name = twin && panelName(job, twin.id);
  const toBench = (): void => {
    if (!job.next) planNext(recipe);
    setAtBench(true);
  };
  return (
    <Screen
      sentence={
        name ? `${name} waits for its photo: ${recipeLine(job, advice, recipe)}.` : headline(job, advice)
      }
      detail={
        name
          ? 'It is sprayed with the very recipe that would come next. Photograph it, and the advice goes on from there.'
          : detailOf(job, advice)
      }
      aside={<Paint job={job} />}
      next={
        twin ? (
          <>
            <Button kind="primary" onPress={() => toPhotoOf(twin, id)}>
              Photograph {name}
            </Button>
            <Button onPress={toBench}>Spray another: what to pour</Button>
          </>
        ) : (
          <Button kind="primary" onPress={toBench}>
            To the bench: what to pour
          </Button>
        )
      }
    >
      {problem}
      {sprayedAndWaiting(job)
        .filter((panel) => panel !== twin)
        .map((panel) => (
          <Waiting key={panel.id} job={job} panel={panel} isTwin={false} />
        ))}
      {!advice.reach.within && (
        <Notice>
          <strong>{capital(advice.reach.words)}.</strong>
        </Notice>
      )}
      <Planned job={job} recipe={recipe} sprayed={name} />
      <Ways job={job} advice={advice} chosen={recipeKey(recipe)} onChoose={(s) => planNext(recipeOf(s))} />
      <Disagreeing job={job} />
      <Ladder job={job} planned={recipe} onPlan={planNext} />
    </Screen>
  );
}

function Paint({ job }: { readonly job: Job }) {
  return (
    <>
      <PotFields job={job} />
      <PaintFields job={job} />
    </>
  );
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);
