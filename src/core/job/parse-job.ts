import { type Job, jobSchema, type Measured, type Mix } from '../../../shared/schemas/job.ts';
import { WHITE_NAMES } from '../color/index.ts';
import { SprayoutError } from '../errors.ts';
import { isConvexQuad } from '../photo/polygon.ts';
import { schemaIssue } from '../schema-issue.ts';
import { NOT_TINTS } from './names.ts';

const HINT_FIELD = 'Correct that field in the job file; `format` must be "sprayout-job/1".';
const HINT_ID = 'Correct the id, or add the missing entry.';

function invalid(where: string, what: string, hint: string): SprayoutError {
  return new SprayoutError('job-invalid', `Job ${where}: ${what}.`, hint);
}

type Fail = (what: string, hint: string) => never;

/** The id that answers give the target; no panel may have it. */
export const TARGET_ID = 'target';

/**
 * A job out of a file's JSON. `where` names the file in messages. Throws `job-invalid` that names the entry: a broken
 * field, an id given twice, a reference to a tint, ground or photo that is not listed, a mix without parts, corners that
 * make no quadrilateral, an unknown white. A panel may lack a measurement: sprayed, but not photographed yet.
 */
export function parseJob(json: unknown, where: string): Job {
  const parsed = jobSchema.safeParse(json);
  if (!parsed.success) {
    const { at, what } = schemaIssue(parsed.error.issues);
    throw invalid(where, `${named(at, json)} ${what}`, HINT_FIELD);
  }
  const job = parsed.data;
  const fail: Fail = (what, hint) => {
    throw invalid(where, what, hint);
  };
  if (!WHITE_NAMES.includes(job.white))
    fail(
      `white ${JSON.stringify(job.white)} is unknown`,
      'Use an illuminant and an observer such as "D50/2".',
    );
  checkIds(job, fail);
  checkPanels(job, fail);
  checkTarget(job, fail);
  if (job.pot) checkMix(job.pot.mix, 'pot', job, fail);
  checkTolerances(job, fail);
  return job;
}

/** `panels[2].coats` with the panel's own id beside it. */
function named(at: string, json: unknown): string {
  const [, list, index] = /^(\w+)\[(\d+)\]/.exec(at) ?? [];
  const entries = list && (json as Record<string, unknown>)[list];
  const id = Array.isArray(entries) ? (entries[Number(index)] as { id?: unknown } | null)?.id : undefined;
  return typeof id === 'string' ? `${at} (${JSON.stringify(id.slice(0, 60))})` : at;
}

function checkIds(job: Job, fail: Fail): void {
  for (const list of ['tints', 'grounds', 'photos', 'panels'] as const) {
    const seen = new Set<string>();
    for (const { id } of job[list]) {
      if (seen.has(id)) fail(`two ${list} have the id ${JSON.stringify(id)}`, 'Give each an id of its own.');
      if (id in {})
        fail(`one of the ${list} has the id ${JSON.stringify(id)}`, 'That word is taken; give it another.');
      seen.add(id);
    }
  }
  const taken = job.tints.find(({ id }) => NOT_TINTS.includes(id));
  if (taken)
    fail(`a tint has the id "${taken.id}"`, `The ${taken.id} itself is called so; give the tint another.`);
  if (job.panels.some((p) => p.id === TARGET_ID))
    fail(`a panel has the id "${TARGET_ID}"`, 'That id is the target’s own; give the panel another.');
}

function checkPanels(job: Job, fail: Fail): void {
  const grounds = new Set(job.grounds.map((g) => g.id));
  for (const panel of job.panels) {
    const name = `panel ${JSON.stringify(panel.id)}`;
    if (panel.ground !== undefined && !grounds.has(panel.ground))
      fail(`${name} is on ground ${JSON.stringify(panel.ground)}, which is not listed`, HINT_ID);
    if (panel.mix) checkMix(panel.mix, name, job, fail);
    checkReadings(panel.measured, name, job, fail);
  }
}

function checkTarget(job: Job, fail: Fail): void {
  if (job.target) checkReadings(job.target.measured, 'the target', job, fail);
}

function checkReadings(measured: readonly Measured[], name: string, job: Job, fail: Fail): void {
  const photos = new Set(job.photos.map((p) => p.id));
  for (const { photo, corners_px } of measured) {
    if (photo !== undefined && !photos.has(photo))
      fail(`${name} is measured in photo ${JSON.stringify(photo)}, which is not listed`, HINT_ID);
    if (corners_px && photo === undefined)
      fail(`${name} has corners without a photo`, 'Say in which photo the corners are: "photo": "…".');
    if (corners_px && !isConvexQuad(corners_px))
      fail(
        `the corners of ${name} in photo ${JSON.stringify(photo)} make no quadrilateral`,
        'Give them in turn: top left, top right, bottom right, bottom left.',
      );
  }
}

function checkMix(mix: Mix, name: string, job: Job, fail: Fail): void {
  const tints = new Set(job.tints.map((t) => t.id));
  for (const tint of Object.keys(mix.parts))
    if (!tints.has(tint))
      fail(`${name} is mixed from tint ${JSON.stringify(tint)}, which is not listed`, HINT_ID);
  const total = Object.values(mix.parts).reduce((sum, part) => sum + part, 0);
  if (!(total > 0))
    fail(
      `the mix of ${name} has no parts`,
      'Give at least one tint more than 0 parts, or leave the mix out.',
    );
}

function checkTolerances({ tolerances }: Job, fail: Fail): void {
  if (tolerances && tolerances.accepted < tolerances.seen)
    fail('the accepted tolerance is smaller than the seen one', 'A difference is seen before it is refused.');
}
