/** How each panel stands to the colour it is judged by, closest first: what the list and the plots show. */
import type { Job } from '../../../shared/schemas/job.ts';
import type { Lab } from '../../core/color/index.ts';
import type { Comparison, Difference } from '../../core/compare/index.ts';
import type { LabEnsemble } from '../../core/correction/types.ts';
import { panelName } from '../store/find.ts';
import { panelMarks } from '../store/marks.ts';

export interface Standing {
  readonly panel: string;
  readonly name: string;
  /** The panel's own, as on its photo. */
  readonly mark: string;
  readonly isClosest: boolean;
  readonly lab: Lab;
  readonly difference: Difference;
}

/** Closest first; empty without a target. */
export function standingsOf(job: Job, comparison: Comparison): readonly Standing[] {
  const marks = panelMarks(job);
  const lab = new Map(comparison.panels.map((p) => [p.id, p.lab]));
  return [...comparison.target]
    .sort((a, b) => a.de00 - b.de00)
    .map((difference, i) => ({
      panel: difference.panel,
      name: panelName(job, difference.panel),
      mark: marks.get(difference.panel) ?? '',
      isClosest: i === 0,
      lab: lab.get(difference.panel) as Lab,
      difference,
    }));
}

/** Where the scale of all bars ends: the farthest interval, and never so short that the tolerances leave it. */
export function scaleEnd(standings: readonly Standing[], accepted: number): number {
  return Math.max(1.5 * accepted, ...standings.map((s) => s.difference.interval95[1]));
}

/** Mean and covariance of two axes of member i's draws. */
export function spreadOf(
  { ids, count, draws }: LabEnsemble,
  i: number,
  along: (lab: Lab) => readonly [x: number, y: number],
): { readonly xx: number; readonly xy: number; readonly yy: number } {
  const points = Array.from({ length: count }, (_, k) => {
    const at = 3 * (k * ids.length + i);
    return along([draws[at], draws[at + 1], draws[at + 2]]);
  });
  const mean = (of: (p: readonly [number, number]) => number): number =>
    points.reduce((sum, p) => sum + of(p), 0) / Math.max(1, count);
  const [mx, my] = [mean((p) => p[0]), mean((p) => p[1])];
  return {
    xx: mean((p) => (p[0] - mx) ** 2),
    xy: mean((p) => (p[0] - mx) * (p[1] - my)),
    yy: mean((p) => (p[1] - my) ** 2),
  };
}
