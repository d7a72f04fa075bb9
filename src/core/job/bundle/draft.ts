import { type Job, jobSchema } from '../../../../shared/schemas/job.ts';
import { SprayoutError } from '../../errors.ts';
import { schemaIssue } from '../../schema-issue.ts';

/**
 * A job in the making out of JSON: every field as it must be, but ids may lack an entry and mixes their parts. Throws
 * `job-invalid`.
 */
export function parseDraft(json: unknown, where: string): Job {
  const parsed = jobSchema.safeParse(json);
  if (parsed.success) return parsed.data;
  const { at, what } = schemaIssue(parsed.error.issues);
  throw new SprayoutError(
    'job-invalid',
    `Job ${where}: ${at} ${what}.`,
    'Correct that field; `format` must be "sprayout-job/1".',
  );
}
