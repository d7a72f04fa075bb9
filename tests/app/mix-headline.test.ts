/** The head of Mix: a letdown that changes is named in it. */
import { describe, expect, it } from 'vitest';
import type { Job } from '../../shared/schemas/job.ts';
import { headline } from '../../src/app/mix/headline.ts';
import { emptyJob } from '../../src/app/store/find.ts';
import type { Suggestion } from '../../src/core/advise/index.ts';

const mix = { parts: { garnet: 5, amber: 1 }, carrier: 5 };
const job: Job = {
  ...emptyJob('Lid'),
  tints: [
    { id: 'garnet', name: 'Garnet' },
    { id: 'amber', name: 'Amber' },
  ],
  grounds: [{ id: 'gold', name: 'Pale gold' }],
  panels: [{ id: 'p1', ground: 'gold', mix, coats: 3, clear: true, measured: [] }],
};

const advised = (carrier: number, purpose: Suggestion['purpose']) => ({
  now: { panel: 'p1', de00: 3 },
  suggestions: [
    {
      purpose,
      mix: { ...mix, carrier },
      coats: 3,
      ground: 'gold',
      reducer_pct: 0,
      clear: true,
    } as unknown as Suggestion,
  ],
});
const plain = (words: string): string => words.replaceAll('\u00a0', ' ');

describe('the headline', () => {
  it('names a letdown that is not that of the nearest panel', () => {
    expect(plain(headline(job, advised(4, 'learn')))).toBe(
      'To learn most, spray Garnet 5 : Amber 1, let down 4:1 instead of 5:1, 3 coats on Pale gold.',
    );
    expect(plain(headline(job, advised(0, 'closer')))).toContain(', not let down instead of 5:1, ');
  });

  it('leaves out one that stays', () => {
    expect(plain(headline(job, advised(5, 'closer')))).toBe(
      'Spray next: Garnet 5 : Amber 1, 3 coats on Pale gold.',
    );
  });

  it('goes by the pot where there is one', () => {
    const withPot = { ...job, pot: { mix: { ...mix, carrier: 4 }, volume_ml: 200 } };
    expect(headline(withPot, advised(4, 'closer'))).not.toContain('instead');
    expect(headline(withPot, advised(5, 'closer'))).toContain('let down 5:1 instead of 4:1');
  });
});
