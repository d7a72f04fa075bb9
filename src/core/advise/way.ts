import { differenceOfDraws } from '../compare/difference-of-draws.ts';
import { directionWords } from '../compare/direction.ts';
import { targetDraws } from '../film/index.ts';
import type { Search } from './search.ts';

/** Which way the target lies from the nearest panel, such as `yellower, a little darker`; empty when nothing is sure. */
export function wayToTarget({ fit, draws, target, now, tolerances }: Search): string {
  const there = targetDraws(fit, draws) as Float64Array;
  const { lab } = now.reading;
  const count = draws.states.length;
  const both = new Float64Array(6 * count);
  for (let k = 0; k < count; k++) {
    both.set(there.subarray(3 * k, 3 * k + 3), 6 * k);
    both.set(lab, 6 * k + 3);
  }
  const colours = {
    white: fit.data.white,
    ids: ['target', now.id],
    lab: [target, lab],
    count,
    draws: both,
  };
  return directionWords(target, lab, differenceOfDraws(colours, 0, 1), tolerances);
}
