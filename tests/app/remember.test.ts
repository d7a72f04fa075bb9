import { expect, it } from 'vitest';
import { colourKey } from '../../src/app/worker/remember.ts';
import { type Job, parseJob } from '../../src/core/job/index.ts';

const job = (ground: string): Job =>
  parseJob(
    {
      format: 'sprayout-job/1',
      grounds: [{ id: 'silver' }, { id: 'gold' }],
      panels: [{ id: 'b1', ground, coats: 0, measured: [] }],
    },
    'lid.job.json',
  );

it('joined colours are worked out anew when a bare panel turns out to be of another ground', () => {
  expect(colourKey(job('gold'), new Map())).not.toBe(colourKey(job('silver'), new Map()));
  expect(colourKey({ ...job('gold'), name: 'Other' }, new Map())).toBe(colourKey(job('gold'), new Map()));
});
