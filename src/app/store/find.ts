/** Finding and naming things of a job: for edits, which find by id, and for words, which call by name. */
import type { Job, JobPanel, JobPhoto } from '../../../shared/schemas/job.ts';

export const panelIn = (job: Job, id: string): JobPanel | undefined => job.panels.find((p) => p.id === id);
export const photoIn = (job: Job, id: string): JobPhoto | undefined => job.photos.find((p) => p.id === id);

/** The first of prefix1, prefix2 … that nothing in the list is called. */
export function freeId(list: readonly { readonly id: string }[], prefix: string): string {
  const taken = new Set(list.map((e) => e.id));
  let n = list.length + 1;
  while (taken.has(`${prefix}${n}`)) n++;
  return `${prefix}${n}`;
}

/** What a panel is called: its name, else its id. `target` is the job's target. */
export function panelName(job: Job, id: string): string {
  if (id === 'target') return job.target?.name?.trim() || 'the target';
  return panelIn(job, id)?.name?.trim() || id;
}

export const emptyJob = (name: string): Job => ({
  format: 'sprayout-job/1',
  name,
  white: 'D50/2',
  tints: [],
  grounds: [],
  photos: [],
  panels: [],
});
