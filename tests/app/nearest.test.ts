import 'fake-indexeddb/auto';
import { describe, expect, it } from 'vitest';
import { nearestIn, nearestPanels, panelIndex, storeColours } from '../../src/app/library/nearest.ts';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';

const ROW = { white: 'D50/2' };

/** Panels of any colour a paint may have, 30 to a job. */
function randomRows(panels: number, seed: number): Parameters<typeof panelIndex>[0] {
  const random = seededRandom(seed).uniform;
  return Array.from({ length: Math.ceil(panels / 30) }, (_, job) => ({
    ...ROW,
    job: `j${job}`,
    ids: Array.from({ length: 30 }, (_, i) => `p${i}`),
    lab: Float32Array.from(
      Array.from({ length: 30 }, () => [95 * random(), 200 * random() - 100, 200 * random() - 100]).flat(),
    ),
  }));
}

describe('searching panels by nearest colour', () => {
  it('finds the same panels as comparing with every single one', () => {
    const rows = randomRows(6000, 5);
    const index = panelIndex(rows);
    const random = seededRandom(6).uniform;
    for (let k = 0; k < 25; k++) {
      const wanted: Lab = [95 * random(), 180 * random() - 90, 180 * random() - 90];
      const all = index.ids
        .map((_, i) => deltaE2000([...index.lab.subarray(3 * i, 3 * i + 3)] as unknown as Lab, wanted))
        .sort((a, b) => a - b);
      const found = nearestIn(index, wanted, 10);
      expect(found).toHaveLength(10);
      for (const [i, { de00 }] of found.entries()) expect(de00).toBeCloseTo(all[i], 9);
    }
  });

  it('names job and panel, over all jobs of the library', async () => {
    await storeColours({ ...ROW, job: 'a', ids: ['p1', 'p2'], lab: Float32Array.of(40, 50, 30, 20, 0, 0) });
    await storeColours({ ...ROW, job: 'b', ids: ['p1'], lab: Float32Array.of(41, 50, 30) });
    const [first, second] = await nearestPanels([41, 50, 30], 2);
    expect([first.job, first.panel, first.de00]).toEqual(['b', 'p1', 0]);
    expect([second.job, second.panel]).toEqual(['a', 'p1']);
    await storeColours({ ...ROW, job: 'c', ids: ['new'], lab: Float32Array.of(20, 1, 0) });
    expect((await nearestPanels([20, 1, 0], 1))[0].panel).toBe('new');
  });
});
