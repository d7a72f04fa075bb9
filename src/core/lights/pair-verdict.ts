/** Whether two panels that match, or differ, in one light do so in the others. */
import type { Lab } from '../color/index.ts';
import type { Tolerances } from '../compare/index.ts';
import { type DifferenceTold, differenceOf } from './drawn-difference.ts';

export type Verdict = 'holds' | 'parts' | 'unsure';

/** Two panels in one light: centres and draws, count × 3. */
export interface PairInLight {
  /** What the light is called: two photos of one light are not two lights. */
  readonly light: string;
  readonly a: Lab;
  readonly b: Lab;
  readonly drawsA: Float64Array;
  readonly drawsB: Float64Array;
}

export interface PairJudged {
  readonly verdict: Verdict;
  /** Chance that the difference changes by more than is let pass. */
  readonly chance: number;
  /** The two lights between which the difference changes most, by index. */
  readonly between: readonly [number, number] | undefined;
  /** How far the difference moves between them, ΔE2000 units. */
  readonly change: DifferenceTold | undefined;
  readonly inLights: readonly DifferenceTold[];
}

/** A larger difference may change by this share of itself before anyone says that it parts. */
const SHARE_OF_DIFFERENCE = 0.3;
/** Chance that the change is larger than the limit from which a pair parts. */
const PARTS = 0.88;
/**
 * Chance up to which it holds. Of pairs of other tints whose draws gave a fifth to a half, most did part on benches kept
 * for setting these; of pairs of one paint, whose spectra differ by amounts alone, few.
 */
const HOLDS = { sameTints: 0.5, otherTints: 0.2 } as const;

/**
 * Judges a pair by how its difference moves from light to light: a vector in Lab, told from draws in which shared errors
 * cancel. The limit is what is seen side by side, or three tenths of the difference where that is more: two panels of
 * quite different colours differ in every light, somewhat more in one than in another. Between the two chances it is unsure.
 */
export function judgePair(
  lights: readonly PairInLight[],
  { seen }: Tolerances,
  { sameTints }: { readonly sameTints: boolean },
): PairJudged {
  const inLights = lights.map((l) => differenceOf(l.a, l.b, l.drawsA, l.drawsB));
  const moves = lights.flatMap((p, i) =>
    lights
      .slice(i + 1)
      .flatMap((q, k) => (p.light === q.light ? [] : [moveBetween(p, q, [i, i + 1 + k], inLights, seen)])),
  );
  if (moves.length === 0)
    return { verdict: 'unsure', chance: 0.5, between: undefined, change: undefined, inLights };
  const most = moves.reduce((a, b) =>
    b.chance > a.chance || (b.chance === a.chance && b.change.de00 > a.change.de00) ? b : a,
  );
  const holds = sameTints ? HOLDS.sameTints : HOLDS.otherTints;
  // one paint seldom parts: no word of it where the draws allow no change at all
  const parts = most.chance >= PARTS && (most.change.significant || !sameTints);
  const verdict = parts ? 'parts' : most.chance <= holds ? 'holds' : 'unsure';
  return { verdict, chance: most.chance, between: most.between, change: most.change, inLights };
}

interface Move {
  readonly between: readonly [number, number];
  readonly change: DifferenceTold;
  readonly chance: number;
}

function moveBetween(
  p: PairInLight,
  q: PairInLight,
  between: readonly [number, number],
  inLights: readonly DifferenceTold[],
  seen: number,
): Move {
  const middle = [0, 1, 2].map((k) => (p.a[k] + p.b[k] + q.a[k] + q.b[k]) / 4) as unknown as Lab;
  const moved = middle.map((m, k) => m + (p.a[k] - p.b[k]) - (q.a[k] - q.b[k])) as unknown as Lab;
  const drawsM = Float64Array.from(p.drawsA, (_, i) => middle[i % 3]);
  const drawsD = p.drawsA.map((v, i) => middle[i % 3] + v - p.drawsB[i] - (q.drawsA[i] - q.drawsB[i]));
  const change = differenceOf(middle, moved, drawsM, drawsD);
  const smaller = Math.min(inLights[between[0]].de00, inLights[between[1]].de00);
  const limit = Math.max(seen, SHARE_OF_DIFFERENCE * smaller);
  return { between, change, chance: shareAbove(middle, drawsD, limit) };
}

function shareAbove(from: Lab, draws: Float64Array, limit: number): number {
  const count = draws.length / 3;
  let above = 0;
  for (let k = 0; k < count; k++) {
    const at = draws.subarray(3 * k, 3 * k + 3);
    const one = differenceOf(from, [at[0], at[1], at[2]], Float64Array.from(from), at);
    if (one.de00 > limit) above++;
  }
  return above / count;
}
