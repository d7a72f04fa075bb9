import { useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import type { Recipe } from '../../core/film/index.ts';
import { latestOf, useAnswer } from '../store/index.ts';
import { Notice, Tabs } from '../ui/index.ts';
import { LadderGrid } from './LadderGrid.tsx';
import { PredictionDialog } from './PredictionDialog.tsx';

interface LadderProps {
  readonly job: Job;
  readonly planned: Recipe;
  readonly onPlan: (recipe: Recipe) => void;
}

/** What every ratio and number of coats would look like, a sheet a ground. */
export function Ladder({ job, planned, onPlan }: LadderProps) {
  const work = useAnswer((bench) => bench.ladder(), 'ladder');
  const [ground, setGround] = useState<string>();
  const [looked, setLooked] = useState<Recipe>();
  const ladder = latestOf(work);
  if (!ladder) return work.state === 'failed' ? <Notice problem={work.problem} /> : null;
  const chosen = ladder.sheets.some((s) => s.ground === ground) ? ground : planned.ground;
  return (
    <section className="mix-ladder">
      <h2>The ladder: every ratio and number of coats</h2>
      <p className="mix-why">
        Each field is the predicted colour, its number how far it lies from the target. Press one to look
        closer.
      </p>
      <Tabs
        label="Ground"
        chosen={chosen ?? ladder.sheets[0]?.ground ?? ''}
        onChoose={setGround}
        tabs={ladder.sheets.map((sheet) => ({
          id: sheet.ground,
          words: sheet.title,
          content: (
            <LadderGrid
              sheet={sheet}
              white={ladder.white}
              planned={planned}
              onPress={(row, column) => setLooked(sheet.recipes[row][column])}
            />
          ),
        }))}
      />
      {looked && (
        <PredictionDialog
          job={job}
          recipe={looked}
          onClose={() => setLooked(undefined)}
          onPlan={() => {
            onPlan(looked);
            setLooked(undefined);
          }}
        />
      )}
    </section>
  );
}
