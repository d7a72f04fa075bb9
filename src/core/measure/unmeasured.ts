import type { Warning } from '../errors.ts';
import type { Job } from '../job/index.ts';

/** What to say of the panels of a job that no colour is known of: they are in no answer. */
export function unmeasuredWarnings(job: Job, measured: readonly string[]): Warning[] {
  const without = job.panels.filter(({ id }) => !measured.includes(id)).map(({ id }) => id);
  if (without.length === 0) return [];
  return [
    {
      code: 'panel-unmeasured',
      message: `${without.join(', ')} ${without.length === 1 ? 'has' : 'have'} no colour yet and ${without.length === 1 ? 'is' : 'are'} left out: photograph, or enter what an instrument reads.`,
    },
  ];
}
