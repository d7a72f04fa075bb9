import { type Comparison, comparePanels } from '../compare/index.ts';
import { type Job, TARGET_ID } from '../job/index.ts';
import type { JobColours } from '../measure/index.ts';

/** Compares a measured job by its own tolerances, with its warnings. */
export function compareJob(job: Job, { colours, warnings, doubts }: JobColours): Comparison {
  const comparison = comparePanels(colours, {
    tolerances: job.tolerances,
    targetId: TARGET_ID,
    cleared: new Map(job.panels.flatMap((p) => (p.clear === undefined ? [] : [[p.id, p.clear] as const]))),
    doubts,
  });
  return { ...comparison, warnings: [...warnings, ...comparison.warnings] };
}
