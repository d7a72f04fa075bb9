import type { Job, JobPanel } from '../../../shared/schemas/job.ts';
import { goTo } from '../shell/route.ts';
import { panelName, selectPanel, useDocument } from '../store/index.ts';
import { Button, Notice } from '../ui/index.ts';
import { ratioWords, restWords } from './recipe-words.ts';
import { recipeOfPanel } from './same-recipe.ts';

interface WaitingProps {
  readonly job: Job;
  readonly panel: JobPanel;
  /** Its recipe is the very one on the screen. */
  readonly isTwin: boolean;
}

export function toPhotoOf(panel: JobPanel, jobId: string | undefined): void {
  selectPanel(panel.id);
  goTo('photos', jobId);
}

/** A sprayed panel that no photo shows yet. */
export function Waiting({ job, panel, isTwin }: WaitingProps) {
  const id = useDocument((d) => d.id);
  const recipe = recipeOfPanel(panel);
  return (
    <Notice
      actions={<Button onPress={() => toPhotoOf(panel, id)}>Photograph {panelName(job, panel.id)}</Button>}
    >
      <strong>{panelName(job, panel.id)} is sprayed and waits for its photo.</strong>
      <span>
        {isTwin
          ? 'It has this very recipe.'
          : recipe && `It is ${ratioWords(job, recipe.parts)}, ${restWords(job, recipe)}.`}{' '}
        The advice knows nothing of it until it is photographed.
      </span>
    </Notice>
  );
}
