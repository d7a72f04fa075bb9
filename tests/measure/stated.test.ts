import { expect, it } from 'vitest';
import { parseJob } from '../../src/core/job/index.ts';
import { joinJob, unmeasuredWarnings } from '../../src/core/measure/index.ts';

const jobOf = (first: unknown[]) =>
  parseJob(
    {
      format: 'sprayout-job/1',
      panels: [
        { id: 'p1', measured: first },
        { id: 'p2', measured: [{ lab: [40, 30, 20], u: 0.4 }] },
        { id: 'p3', measured: [] },
      ],
    },
    'lid.job.json',
  );

/** Spread of a thing's L* over the draws. */
function spreadOf({ colours }: ReturnType<typeof joinJob>, id: string): number {
  const at = colours.ids.indexOf(id);
  let sum = 0;
  for (let k = 0; k < colours.count; k++)
    sum += (colours.draws[3 * (k * colours.ids.length + at)] - colours.lab[at][0]) ** 2;
  return Math.sqrt(sum / colours.count);
}

it('two instrument readings of one panel that contradict each other are named, and spoil no other panel', () => {
  const agreeing = joinJob(
    jobOf([
      { lab: [50, 30, 18], u: 0.6 },
      { lab: [50.4, 30, 18], u: 0.6 },
    ]),
    new Map(),
  );
  const contradicting = joinJob(
    jobOf([
      { lab: [50, 30, 18], u: 0.6 },
      { lab: [20, 0, 0], u: 0.2 },
    ]),
    new Map(),
  );
  expect(agreeing.warnings).toEqual([]);
  expect(contradicting.warnings.map((w) => w.code)).toEqual(['stated-colours-disagree']);
  expect(contradicting.doubts.has('p1')).toBe(true);
  expect(spreadOf(contradicting, 'p1')).toBeGreaterThan(10 * spreadOf(agreeing, 'p1'));
  expect(spreadOf(contradicting, 'p2')).toBeLessThan(1.1 * spreadOf(agreeing, 'p2'));
});

it('panels that no colour is known of are named', () => {
  const job = jobOf([]);
  const { colours } = joinJob(job, new Map());
  expect(unmeasuredWarnings(job, colours.ids).map((w) => w.message)).toEqual([
    expect.stringMatching(/^p1, p3 have no colour yet/),
  ]);
});
