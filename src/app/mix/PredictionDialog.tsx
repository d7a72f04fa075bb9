import type { Job } from '../../../shared/schemas/job.ts';
import type { Recipe } from '../../core/film/index.ts';
import { latestOf, useAnswer } from '../store/index.ts';
import { Button, Dialog, formatNumber, Notice } from '../ui/index.ts';
import { Planned } from './Planned.tsx';
import { recipeKey } from './plan.ts';
import { ratioWords } from './recipe-words.ts';

interface PredictionDialogProps {
  readonly job: Job;
  readonly recipe: Recipe;
  readonly onClose: () => void;
  readonly onPlan: () => void;
}

/** One field of the ladder, looked at closely. */
export function PredictionDialog({ job, recipe, onClose, onPlan }: PredictionDialogProps) {
  const work = useAnswer((bench) => bench.predict(recipe), recipeKey(recipe));
  const prediction = latestOf(work);
  return (
    <Dialog
      title={ratioWords(job, recipe.parts)}
      isOpen
      onClose={onClose}
      actions={
        <>
          <Button onPress={onClose}>Back to the ladder</Button>
          <Button kind="primary" onPress={onPlan}>
            Spray this next
          </Button>
        </>
      }
    >
      {work.state === 'failed' && <Notice problem={work.problem} />}
      <Planned job={job} recipe={recipe} />
      {prediction && (
        <p className="numbers">
          L* {formatNumber(prediction.lab[0])} ± {formatNumber(prediction.u95[0])}, a*{' '}
          {formatNumber(prediction.lab[1])} ± {formatNumber(prediction.u95[1])}, b*{' '}
          {formatNumber(prediction.lab[2])} ± {formatNumber(prediction.u95[2])}
        </p>
      )}
    </Dialog>
  );
}
