import { describe, expect, it } from 'vitest';
import { mayBeOnePaint } from '../../src/core/correction/index.ts';
import { parseJob } from '../../src/core/job/index.ts';
import { thingsOf } from '../../src/core/measure/index.ts';

describe('what a job notes of its panels says which of them are of one paint', () => {
  const job = parseJob(
    {
      format: 'sprayout-job/1',
      tints: [{ id: 'garnet' }, { id: 'amber' }],
      grounds: [{ id: 'silver' }, { id: 'gold' }],
      photos: [],
      panels: [
        { id: 'five to one', coats: 2, ground: 'silver', mix: { parts: { garnet: 5, amber: 1 } } },
        { id: 'one to two', coats: 4, ground: 'gold', mix: { parts: { amber: 2, garnet: 1 } } },
        { id: 'garnet alone', coats: 2, ground: 'silver', mix: { parts: { garnet: 1, amber: 0 } } },
        { id: 'bare silver', coats: 0, ground: 'silver' },
        { id: 'bare gold', coats: 0, ground: 'gold' },
        { id: 'not noted' },
        { id: 'not noted either' },
      ].map((panel) => ({ ...panel, measured: [] })),
      target: { measured: [] },
    },
    'the job',
  );
  const paintOf = (id: string) => thingsOf(job).find((t) => t.id === id)!.paint;
  const areOne = (a: string, b: string): boolean => mayBeOnePaint(paintOf(a), paintOf(b));

  it('two ratios of the same tints are one, over any ground', () => {
    expect(areOne('five to one', 'one to two')).toBe(true);
  });

  it('a tint alone is another than its blend, and every ground another', () => {
    expect(areOne('five to one', 'garnet alone')).toBe(false);
    expect(areOne('bare silver', 'bare gold')).toBe(false);
    expect(areOne('bare silver', 'five to one')).toBe(false);
  });

  it('panels of which nothing is noted may be one, the target is of any paint', () => {
    expect(areOne('not noted', 'not noted either')).toBe(true);
    expect(
      thingsOf(job)
        .filter((t) => t.paint.make === 'any')
        .map((t) => t.id),
    ).toEqual(['target']);
    expect(areOne('target', 'not noted')).toBe(false);
  });
});
