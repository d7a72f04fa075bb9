import { describe, expect, it } from 'vitest';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { filmColour } from '../../src/core/film/colour.ts';
import { fitBroadly } from '../../src/core/film/fit.ts';
import { PRIORS } from '../../src/core/film/index.ts';
import { dyeKinds } from '../../src/core/film/kinds.ts';
import { compileRecipe, filmState } from '../../src/core/film/model.ts';
import { momentsOfMixture } from '../../src/core/film/moments.ts';
import { sharpen } from '../../src/core/film/sharpen.ts';
import type { Fitted } from '../../src/core/film/solve.ts';
import { simulateJob, unseenSpray } from '../bench/film-simulator/jobs.ts';
import { dataOf, recipeOf } from '../bench/film-simulator/to-data.ts';
import { sprayPanel } from '../bench/film-simulator/world.ts';

const mean = (v: ArrayLike<number>): number => Array.from(v).reduce((a, b) => a + b, 0) / v.length;

describe('kinds of dye', () => {
  const kinds = dyeKinds(PRIORS);
  const shares = kinds.map((k) => k.share);

  it('together are all dyes', () => {
    expect(shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12);
    expect(mean(momentsOfMixture(kinds, shares).mean)).toBeCloseTo(PRIORS.tint.mean, 9);
  });

  it('absorb at different wavelengths, each with less scatter than all', () => {
    const peaks = kinds.map((k) => k.mean.indexOf(Math.max(...k.mean)));
    expect(new Set(peaks).size).toBeGreaterThan(4);
    const trace = (c: Float64Array): number => {
      const nodes = Math.sqrt(c.length);
      return Array.from({ length: nodes }, (_, i) => c[i * nodes + i]).reduce((a, b) => a + b, 0);
    };
    const all = trace(momentsOfMixture(kinds, shares).covariance);
    for (const kind of kinds) expect(trace(kind.covariance)).toBeLessThan(0.7 * all);
  });
});

describe('knowing the kinds of the tints', () => {
  it('brings unseen panels nearer when there are three to learn from', () => {
    const offs = Array.from({ length: 60 }, (_, j) => {
      const job = simulateJob('gaussian', 3, 440_000 + j);
      const data = dataOf(job);
      const fits = [fitBroadly(data, PRIORS), sharpen(fitBroadly(data, PRIORS))];
      const sprays = Array.from({ length: 6 }, () => unseenSpray(job));
      const off = ({ model, solution }: Fitted): number => {
        const state = filmState(model, solution.x);
        return mean(
          sprays.map((s) =>
            deltaE2000(
              filmColour(model, state, compileRecipe(model, recipeOf(s))),
              sprayPanel(job.world, s) as Lab,
            ),
          ),
        );
      };
      return fits.map(off);
    });
    expect(mean(offs.map((o) => o[1]))).toBeLessThan(0.98 * mean(offs.map((o) => o[0])));
  });

  it('is left alone when there are twelve', () => {
    const broad = fitBroadly(dataOf(simulateJob('gaussian', 12, 440_000)), PRIORS);
    expect(sharpen(broad)).toBe(broad);
  });
});
