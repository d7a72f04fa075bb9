import type { Comparison } from '../core/compare/index.ts';
import type { Job } from '../core/job/index.ts';
import { type JobColours, unmeasuredWarnings } from '../core/measure/index.ts';
import { compareJob } from '../core/study/index.ts';

/** A measured job compared, with a word on the panels that are missing from it. */
export function comparedWhole(job: Job, colours: JobColours): Comparison {
  const comparison = compareJob(job, colours);
  const missing = unmeasuredWarnings(job, colours.colours.ids);
  return { ...comparison, warnings: [...comparison.warnings, ...missing] };
}
