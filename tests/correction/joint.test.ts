import { describe, expect, it } from 'vitest';
import { drawEnsemble, joinObservations, widenedByMisfit } from '../../src/core/correction/joint.ts';

/** 3m × 3m covariance with the same m × m matrix on each Lab axis. */
function onEachAxis(m: number, of: (i: number, j: number) => number): Float64Array {
  const out = new Float64Array(9 * m * m);
  for (let i = 0; i < m; i++)
    for (let j = 0; j < m; j++) for (let a = 0; a < 3; a++) out[(3 * i + a) * 3 * m + 3 * j + a] = of(i, j);
  return out;
}

describe('readings are joined by generalised least squares (Aitken 1935), worked by hand', () => {
  it('two independent readings of one panel give their mean weighted by 1/variance', () => {
    const joint = joinObservations(1, {
      things: [0, 0],
      labs: [
        [50, 10, 0],
        [56, 10, 3],
      ],
      covariance: onEachAxis(2, (i, j) => (i === j ? (i === 0 ? 1 : 2) : 0)),
    });
    expect(joint.labs[0][0]).toBeCloseTo(52, 4);
    expect(joint.labs[0][2]).toBeCloseTo(1, 4);
    expect(joint.covariance[0]).toBeCloseTo(2 / 3, 4);
    expect(joint.freedom).toBe(3);
  });

  it('a panel known from an instrument takes the error it shares with its neighbour away', () => {
    // both read with variance 1, of which .8 is common; the first is known to be 2 lighter than read
    const joint = joinObservations(2, {
      things: [0, 1, 0],
      labs: [
        [40, 0, 0],
        [45, 0, 0],
        [42, 0, 0],
      ],
      covariance: onEachAxis(3, (i, j) => (i === j ? (i === 2 ? 1e-9 : 1) : i < 2 && j < 2 ? 0.8 : 0)),
    });
    expect(joint.labs[0][0]).toBeCloseTo(42, 3);
    expect(joint.labs[1][0]).toBeCloseTo(45 + 0.8 * 2, 3);
    expect(joint.covariance[3 * 1 * 7]).toBeCloseTo(1 - 0.8 ** 2, 3);
  });

  it('two readings further apart than stated widen what is joined, by the Birge ratio (Birge 1932)', () => {
    const apart = (by: number) =>
      joinObservations(1, {
        things: [0, 0],
        labs: [
          [50, 0, 0],
          [50 + by, 0, 0],
        ],
        covariance: onEachAxis(2, (i, j) => (i === j ? 1 : 0)),
      });
    // squared and weighted, 6 apart is 6²/2 = 18, over three axes; twelve further degrees of freedom are believed beforehand
    expect(widenedByMisfit(apart(6)).covariance[0]).toBeCloseTo((0.5 * (18 + 12)) / (3 + 12), 3);
    expect(widenedByMisfit(apart(0.5)).covariance[0]).toBeCloseTo(0.5, 4);
  });

  it('draws keep the centre exactly and the shared error cancels in a difference', () => {
    const covariance = onEachAxis(2, (i, j) => (i === j ? 1 : 0.99));
    const e = drawEnsemble(
      'D50/2',
      ['a', 'b'],
      [
        [50, 0, 0],
        [50, 0, 0],
      ],
      covariance,
    );
    let mean = 0;
    let own = 0;
    let between = 0;
    for (let k = 0; k < e.count; k++) {
      mean += e.draws[6 * k] / e.count;
      own += (e.draws[6 * k] - 50) ** 2 / e.count;
      between += (e.draws[6 * k] - e.draws[6 * k + 3]) ** 2 / e.count;
    }
    expect(mean).toBeCloseTo(50, 9);
    expect(own).toBeGreaterThan(0.75);
    expect(between).toBeLessThan(0.03);
  });
});
