import { expect, it } from 'vitest';
import { parseJob } from '../../src/core/job/index.ts';
import { filmNames, fitJobFilm, predictJob } from '../../src/core/study/index.ts';

it('a tint or ground whose name was left empty is called by its id', () => {
  const job = parseJob(
    {
      format: 'sprayout-job/1',
      tints: [{ id: 't1', name: '' }, { id: 't2', name: 'Amber candy ' }, { id: 't3' }],
      grounds: [{ id: 'g1', name: '  ' }],
      panels: [],
    },
    'lid.job.json',
  );
  const { tint, ground } = filmNames(job);
  expect(['t1', 't2', 't3'].map(tint)).toEqual(['t1', 'amber candy', 't3']);
  expect(ground('g1')).toBe('g1');
});

it('a prediction’s warnings call a tint by its name', () => {
  const mix = (amber: number) => ({ parts: { t1: 5, t2: amber }, carrier: 5 });
  const panel = (id: string, coats: number, lab: readonly number[], amber = 1) => ({
    id,
    ground: 'g1',
    coats,
    clear: true,
    ...(coats > 0 && { mix: mix(amber) }),
    measured: [{ lab: [...lab] }],
  });
  const job = parseJob(
    {
      format: 'sprayout-job/1',
      tints: [
        { id: 't1', name: 'Garnet candy' },
        { id: 't2', name: 'Amber candy' },
      ],
      grounds: [{ id: 'g1', name: 'Bright silver' }],
      panels: [panel('p1', 0, [72, 0, 1]), panel('p2', 2, [50, 37, 20]), panel('p3', 3, [44, 42, 26])],
    },
    'lid.job.json',
  );
  const alone = { parts: { t1: 1 }, carrier: 5, coats: 3, ground: 'g1', reducer_pct: 0, clear: true };
  const { warnings } = predictJob(job, fitJobFilm(job, undefined), alone);
  expect(warnings.map((w) => w.message)).toContain(
    'Garnet candy at 100 % of the tints lies well outside what was sprayed (83 %).',
  );
});
