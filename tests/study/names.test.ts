import { expect, it } from 'vitest';
import { parseJob } from '../../src/core/job/index.ts';
import { filmNames } from '../../src/core/study/index.ts';

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
