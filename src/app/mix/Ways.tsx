import type { Job } from '../../../shared/schemas/job.ts';
import type { Advice, Suggestion } from '../../core/advise/index.ts';
import { latestOf, useResults } from '../store/index.ts';
import { Button, Disclosure, formatNumber, Swatch } from '../ui/index.ts';
import { recipeKey, recipeOf } from './plan.ts';
import { ratioWords, restWords } from './recipe-words.ts';

interface WaysProps {
  readonly job: Job;
  readonly advice: Advice;
  /** `recipeKey` of what is planned. */
  readonly chosen: string;
  readonly onChoose: (suggestion: Suggestion) => void;
}

/** Every way the advice knows, best first; any of them can be planned. */
export function Ways({ job, advice, chosen, onChoose }: WaysProps) {
  const white = latestOf(useResults((r) => r.comparison))?.white;
  if (advice.suggestions.length < 2 || !white) return null;
  return (
    <Disclosure title={`${advice.suggestions.length} ways to go on`}>
      <ol className="mix-ways">
        {advice.suggestions.map((suggestion) => {
          const key = recipeKey(recipeOf(suggestion));
          const isChosen = key === chosen;
          return (
            <li key={key} className={isChosen ? 'mix-way mix-way-chosen' : 'mix-way'}>
              <Swatch lab={suggestion.lab} white={white} label={`Predicted: ${suggestion.words}`} />
              <div>
                <strong>{ratioWords(job, suggestion.mix.parts)}</strong>
                <p>{restWords(job, recipeOf(suggestion))}</p>
                <p className="mix-why">{suggestion.words}</p>
              </div>
              <div className="mix-way-figure numbers">
                <strong>{formatNumber(suggestion.de00)}</strong>
                <span>
                  {formatNumber(suggestion.interval95[0])}–{formatNumber(suggestion.interval95[1])}
                </span>
              </div>
              {isChosen ? (
                <span className="mix-mark">planned</span>
              ) : (
                <Button onPress={() => onChoose(suggestion)}>Plan this</Button>
              )}
            </li>
          );
        })}
      </ol>
    </Disclosure>
  );
}
