import type { Comparison } from '../../core/compare/index.ts';
import { SprayoutError } from '../../core/errors.ts';
import { type Job, TARGET_ID } from '../../core/job/index.ts';
import type { JobColours } from '../../core/measure/index.ts';
import { measureJobFile } from '../../node/measure-job-file.ts';
import { readJob } from '../../node/read-job.ts';
import { onePositional } from '../arguments.ts';
import { defineCommand } from '../command.ts';
import { comparedWhole } from '../compared-whole.ts';
import { comparedWords } from '../compared-words.ts';

const help = `
Usage: sprayout compare JOB [--all] [--allow-outside] [--json]

Compares the panels of a job with each other and with its target: CIEDE2000 with the interval that
holds the truth 95 times of 100, and what it means in words. Differences are panel minus target.
A panel measured in several photos is measured from all of them together.

  --all             list every pair of panels, also those plainly different
  --allow-outside   photos and cards of the job may lie outside its folder
  --json            one JSON document: pairs, target, panels, warnings
`;

export const command = defineCommand({
  help,
  options: { all: { type: 'boolean' }, 'allow-outside': { type: 'boolean' } },
  async run({ values, positionals, path, tell }) {
    const file = onePositional(positionals, 'a job file', 'compare');
    const jobFile = await readJob(path(file), { allowOutside: values['allow-outside'] });
    if (jobFile.job.panels.length === 0)
      throw new SprayoutError('not-enough-panels', `${file} has no panels yet.`, 'Add a panel to compare.');
    const colours = await measureJobFile(jobFile, tell);
    const comparison = comparedWhole(jobFile.job, colours);
    for (const { message } of comparison.warnings) tell(`warning: ${message}`);
    return {
      json: comparisonDocument(comparison, colours),
      words: comparedWords(comparison, namesOf(jobFile.job), { allPairs: values.all ?? false }),
    };
  },
});

/** Ids with the names people gave: `p1 first blend`. */
export function namesOf(job: Job): (id: string) => string {
  const names = new Map(job.panels.map((p) => [p.id, p.name]));
  names.set(TARGET_ID, job.target?.name);
  return (id) => {
    const name = names.get(id);
    return name && name !== id ? `${id} ${name}` : id;
  };
}

/** Which photos a colour or a difference was joined from. */
interface Origin {
  readonly joined_from?: readonly string[];
}

/** The JSON answer: the comparison, and which photos each colour was joined from where there are several. */
export function comparisonDocument(comparison: Comparison, { joined_from }: JobColours) {
  const origin = (ids: readonly string[]): Origin => {
    const photos = new Set(ids.flatMap((id) => joined_from.get(id) ?? []));
    return photos.size > 1 ? { joined_from: [...photos] } : {};
  };
  return {
    ...comparison,
    panels: comparison.panels.map((p) => ({ ...p, ...origin([p.id]) })),
    pairs: comparison.pairs.map((p) => ({ ...p, ...origin([p.a, p.b]) })),
    target: comparison.target.map((t) => ({ ...t, ...origin([t.panel, TARGET_ID]) })),
  };
}
