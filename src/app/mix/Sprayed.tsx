import { useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import type { Recipe } from '../../core/film/index.ts';
import { goTo } from '../shell/route.ts';
import { selectPanel, tell, useDocument } from '../store/index.ts';
import { Button, Dialog } from '../ui/index.ts';
import { markSprayed } from './plan.ts';
import { letdownWords, ratioWords } from './recipe-words.ts';

/** A way that the paint may have been mixed, as it was really poured. */
export interface PouredWay {
  readonly words: string;
  readonly recipe: Recipe;
}

interface SprayedProps {
  readonly job: Job;
  /** One, or the several that may be in the gun. */
  readonly ways: readonly PouredWay[];
  /** A panel of this recipe waits for its photo already. */
  readonly isAnother: boolean;
}

/** Puts the sprayed panel into the job with what was really poured, and goes on to its photo. */
export function Sprayed({ job, ways, isAnother }: SprayedProps) {
  const id = useDocument((d) => d.id);
  const [isAsking, setAsking] = useState(false);
  const sprayed = async (recipe: Recipe): Promise<void> => {
    const panel = await markSprayed(recipe);
    selectPanel(panel);
    tell('The panel is in the job with its recipe. Photograph it beside the card.');
    goTo('photos', id);
  };
  return (
    <>
      <Button kind="primary" onPress={() => (ways.length === 1 ? sprayed(ways[0].recipe) : setAsking(true))}>
        {isAnother ? 'Sprayed another: photograph it' : 'Sprayed: photograph it'}
      </Button>
      <Dialog
        title="Which paint did you spray?"
        isOpen={isAsking}
        onClose={() => setAsking(false)}
        actions={<Button onPress={() => setAsking(false)}>Back to the sheet</Button>}
      >
        <p>By the marks of the cup the two are not the same. The panel keeps the recipe you choose.</p>
        <div className="mix-choices">
          {ways.map(({ words, recipe }) => (
            <Button key={words} onPress={() => sprayed(recipe)}>
              {words}: {ratioWords(job, recipe.parts)}, {letdownWords(recipe)}
            </Button>
          ))}
        </div>
      </Dialog>
    </>
  );
}
