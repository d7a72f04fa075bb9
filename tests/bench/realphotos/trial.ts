/**
 * The trial on photographs of a 24-patch chart: 8 of its 18 colours and one grey are taken out of the card and measured
 * as panels, three times with different ones, and held against their published colours.
 */
import { deltaE2000, type Lab } from '../../../src/core/color/index.ts';
import type { Vec3 } from '../../../src/core/math/linear.ts';
import { plainCorrections } from '../accuracy/baselines.ts';
import type { Scores } from '../accuracy/scores.ts';

export interface ChartPatch {
  readonly id: string;
  readonly role: 'neutral' | 'colour';
  readonly lab: Lab;
}

export const SPLITS = [0, 1, 2] as const;

/** True colours closer than this, ΔE2000, count as near. */
const NEAR = 20;

/** Ids of the patches that a split holds out: every other colour from a start of its own, and a middle grey. */
export function heldOut(patches: readonly ChartPatch[], split: number): string[] {
  const colours = patches.filter((p) => p.role === 'colour');
  const greys = patches.filter((p) => p.role === 'neutral');
  const out = Array.from({ length: 8 }, (_, k) => colours[(split * 5 + 2 * k) % colours.length].id);
  return [...out, greys[1 + split].id];
}

/** Plain corrections trained on the patches left in, for the patches held out (both in the chart's order of `linear`). */
export function plainLabs(
  patches: readonly ChartPatch[],
  linear: ReadonlyMap<string, Vec3>,
  out: readonly string[],
): { readonly matrix: Lab[]; readonly greyPoint: Lab[] } {
  const plain = plainCorrections(
    patches
      .filter((p) => !out.includes(p.id))
      .map((p) => ({ linear: linear.get(p.id)!, lab: p.lab, neutral: p.role === 'neutral' })),
  );
  const read = out.map((id) => linear.get(id)!);
  return { matrix: read.map(plain.matrix), greyPoint: read.map(plain.greyPoint) };
}

/** Adds errors (`name`) and errors of the differences between near patches (`name near`). */
export function scoreLabs(scores: Scores, name: string, labs: readonly Lab[], truths: readonly Lab[]): void {
  labs.forEach((lab, k) => {
    scores.add(name, deltaE2000(lab, truths[k]));
    for (let j = 0; j < k; j++) {
      const near = deltaE2000(truths[k], truths[j]);
      if (near < NEAR) scores.add(`${name} near`, Math.abs(deltaE2000(lab, labs[j]) - near));
    }
  });
}

/** Doubt of a published colour per axis, for a chart that nobody measured: age and batch. */
const PUBLISHED_DOUBT = 1.2;

/** Adds, per axis, whether a 95 % interval holds the published value. */
export function scoreIntervals(
  scores: Scores,
  labs: readonly Lab[],
  u95: readonly Vec3[],
  truths: readonly Lab[],
): void {
  labs.forEach((lab, k) => {
    for (let a = 0; a < 3; a++)
      scores.add('held', Math.abs(lab[a] - truths[k][a]) <= Math.hypot(u95[k][a], PUBLISHED_DOUBT) ? 1 : 0);
  });
}

/** Mean ΔE2000 between two lists of colours of the same things. */
export function meanApart(a: readonly Lab[], b: readonly Lab[]): number {
  return a.reduce((sum, lab, i) => sum + deltaE2000(lab, b[i]), 0) / a.length;
}
