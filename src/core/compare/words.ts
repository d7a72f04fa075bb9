import type { Lab } from '../color/index.ts';
import type { DrawnDifference } from './difference-of-draws.ts';
import { directionWords } from './direction.ts';
import type { Tolerances } from './tolerances.ts';

export interface DifferenceWords {
  /** Which way `a` differs from `b`: "darker, redder". Empty when nothing is sure. */
  readonly direction: string;
  /** Whether one sees it, and whether it may be accepted. */
  readonly verdict: string;
  /** Both, and any doubt, in one line. */
  readonly words: string;
}

/** A difference in painter's words. `remarks` are doubts to add. */
export function differenceWords(
  a: Lab,
  b: Lab,
  difference: DrawnDifference,
  tolerances: Tolerances,
  remarks: readonly string[] = [],
): DifferenceWords {
  const direction = difference.significant ? directionWords(a, b, difference, tolerances) : '';
  const verdict = verdictWords(difference, tolerances);
  return { direction, verdict, words: [direction, verdict, ...remarks].filter(Boolean).join('; ') };
}

function verdictWords(
  { significant, interval95: [low, high] }: DrawnDifference,
  { seen, accepted }: Tolerances,
): string {
  if (!significant) {
    if (high <= seen) return 'no difference seen';
    if (high <= accepted) return `no difference seen, at most a small one (${high.toFixed(1)})`;
    return `no difference seen, but one of up to ${high.toFixed(1)} can't be ruled out`;
  }
  if (high <= seen) return 'you would not see this side by side';
  if (low <= seen)
    return high <= accepted
      ? 'you might just see this side by side, close enough to accept'
      : 'you might see this side by side; measure again before you decide';
  if (high <= accepted) return 'you would see this side by side, close enough to accept';
  if (low <= accepted) return 'you would see this side by side, perhaps still close enough to accept';
  return 'you would see this side by side, too far off to accept';
}
