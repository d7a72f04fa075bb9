/** Shifts and verdicts in painter's words. */
import type { Lab } from '../color/index.ts';
import { differenceOfDraws } from '../compare/difference-of-draws.ts';
import { directionWords } from '../compare/direction.ts';
import type { Tolerances } from '../compare/index.ts';
import type { LabEnsemble } from '../correction/index.ts';
import type { DifferenceTold } from './drawn-difference.ts';
import { lightName } from './light-name.ts';
import type { PairJudged } from './pair-verdict.ts';

/** `in the sun`, or with the photo's id where two photos have the same kind of light. */
export function lightWords(
  photo: { readonly id: string; readonly light: string },
  all: readonly { readonly light: string }[],
): string {
  const words = lightName(photo.light);
  return all.filter((p) => p.light === photo.light).length > 1 ? `${words} (photo ${photo.id})` : words;
}

/** How member `to` looks against member `from`: "redder, a little darker under the lamp than in the sun". */
export function shiftWords(
  colours: LabEnsemble,
  from: number,
  to: number,
  told: DifferenceTold,
  [before, after]: readonly [string, string],
  tolerances: Tolerances,
): string {
  if (!told.significant)
    return told.interval95[1] <= tolerances.seen
      ? `looks the same ${before} and ${after}`
      : `no change told between ${bare(before)} and ${bare(after)}, at most one of ${told.interval95[1].toFixed(1)}`;
  const way = directionWords(
    colours.lab[to],
    colours.lab[from],
    differenceOfDraws(colours, to, from),
    tolerances,
  );
  const size = told.interval95[1] < tolerances.seen ? 'hardly changes' : 'changes';
  return way ? `${way} ${after} than ${before}` : `${size} from ${bare(before)} to ${bare(after)}`;
}

/** What the verdict on a pair means at the bench. `lights` has a name for each photo, `kinds` each light once. */
export function pairWords(
  judged: PairJudged,
  lights: readonly string[],
  kinds: readonly string[],
  { seen, accepted }: Tolerances,
): string {
  const { verdict, inLights, between } = judged;
  if (kinds.length < 2)
    return kinds.length === 1
      ? `photographed together ${kinds[0]} only: one light can't tell whether they part in another`
      : 'not photographed together: take both in one photo, in two lights or more';
  const matches = inLights.map((d) => d.de00 <= Math.max(seen, 0.5 * accepted));
  const order = inLights.map((d, i) => ({ i, de00: d.de00 })).sort((p, q) => p.de00 - q.de00);
  const [least, most] = [order[0].i, order[order.length - 1].i];
  if (verdict === 'holds') {
    if (matches.every(Boolean)) return `match in every light photographed (${list(kinds)})`;
    if (matches.some(Boolean)) return `about the same ${list(kinds)}: a small difference everywhere`;
    return `differ about as much in every light photographed (${list(kinds)})`;
  }
  const [p, q] = between ?? [least, most];
  const pair = inLights[p].de00 <= inLights[q].de00 ? [p, q] : [q, p];
  if (verdict === 'unsure')
    return `may part between ${bare(lights[pair[0]])} and ${bare(lights[pair[1]])}: the photos can't decide, judge it by eye in both`;
  if (matches[pair[0]])
    return `${inLights[pair[0]].de00 <= seen ? 'matches' : 'nearly matches'} ${lights[pair[0]]}, parts ${lights[pair[1]]}: judge it ${whereToJudge(lights[pair[1]])}`;
  return `differs another way ${lights[pair[1]]} than ${lights[pair[0]]}: judge it in both`;
}

const bare = (light: string): string => light.replace(/^(in|under) /, '');

function whereToJudge(light: string): string {
  if (/sun|shade/.test(light)) return `outside, ${light}`;
  return `${light} too`;
}

function list(words: readonly string[]): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
}

export const CANNOT_TELL =
  'A camera is not an eye: its three channels see other parts of the spectrum, so two panels may match to it and part to you, or the other way round. What is said here comes from what the card shows of camera and light and from how paints usually absorb; the intervals hold that doubt. Big changes are told surely, small ones are not: when it matters, look at both panels in that light.';

/** A panel's turn from face to flop. */
export function travelWords(
  face: Lab,
  flop: Lab,
  effect: boolean,
  significant: boolean,
  way: string,
): string {
  if (!significant) return 'no travel told: it looks the same from the side';
  const lightness = flop[0] - face[0];
  const kind = effect
    ? lightness < 0
      ? 'an effect coat: bright in direct light, dark from the side'
      : 'an effect coat: lighter from the side than in direct light'
    : 'little travel';
  return way ? `${kind}; from the side ${way}` : kind;
}
