import { describe, expect, test } from 'vitest';
import { makeDye, makeGround } from '../../samples/scene/dyes.ts';
import {
  type CandyRecipe,
  candyReflectance,
  type FilmHabit,
  makeHabit,
  throughSurface,
} from '../../samples/scene/paint.ts';
import { randomOf } from '../../samples/scene/random.ts';
import { labD50 } from '../../samples/scene/spectral.ts';

const random = randomOf(1, 'paint test');
const garnet = makeDye('tune', random, 'garnet');
const amber = makeDye('tune', random, 'amber');
const silver = makeGround('bright silver', random);
const recipe = (over: Partial<CandyRecipe>): CandyRecipe => ({
  parts: [[garnet, 1]],
  ground: silver,
  coats: 1,
  carrier: 5,
  reducer_pct: 0,
  clear: true,
  hand: 1,
  ...over,
});
const straight: FilmHabit = {
  usualCarrier: 5,
  coatPower: 1,
  floorShare: 0,
  floorPath: 0,
  paths: [[1, 1]],
};
const bareSurface = { first: 0, internal: 0 };

describe('candy films', () => {
  test.each([
    // Saunderson, J. Opt. Soc. Am. 32 (1942), with k1 = .04 and k2 = .6
    [0, 0.04],
    [0.1, 0.080851],
    [0.25, 0.152941],
    [0.5, 0.314286],
    [0.75, 0.563636],
    [1, 1],
  ])('a surface over inner reflectance %f shows %f', (inside, outside) => {
    expect(throughSurface(inside, 0.04, 0.6)).toBeCloseTo(outside, 6);
  });

  test('absorbances of one film add (Beer and Lambert): two dyes together take what each takes alone', () => {
    const bare = candyReflectance(recipe({ parts: [], coats: 0 }), straight, bareSurface);
    const one = candyReflectance(recipe({ parts: [[garnet, 1]], coats: 1 }), straight, bareSurface);
    const other = candyReflectance(recipe({ parts: [[amber, 1]], coats: 1 }), straight, bareSurface);
    // half and half in two coats holds as much of each as one coat of each alone
    const both = candyReflectance(
      recipe({
        parts: [
          [garnet, 1],
          [amber, 1],
        ],
        coats: 2,
      }),
      straight,
      bareSurface,
    );
    both.forEach((r, i) => {
      expect(r * bare[i]).toBeCloseTo(one[i] * other[i], 10);
    });
  });

  test('the light goes in and out: its path is twice the film', () => {
    const bare = candyReflectance(recipe({ parts: [], coats: 0 }), straight, bareSurface);
    const one = candyReflectance(recipe({ coats: 1 }), straight, bareSurface);
    one.forEach((r, i) => {
      expect(-Math.log(r / bare[i])).toBeCloseTo(2 * garnet.absorbance[i], 10);
    });
  });

  test('each coat is darker, and by less and less where light reaches the camera without passing the film', () => {
    const habit = makeHabit(randomOf(2, 'habit'));
    const surface = { first: 0.008, internal: 0.5 };
    const lightness = [0, 1, 2, 3, 4, 5].map(
      (coats) => labD50(candyReflectance(recipe({ coats }), habit, surface))[0],
    );
    for (let i = 1; i < lightness.length; i++) expect(lightness[i]).toBeLessThan(lightness[i - 1]);
    const deep = candyReflectance(recipe({ coats: 10 }), habit, surface);
    const without = candyReflectance(recipe({ coats: 10 }), { ...habit, floorShare: 0 }, surface);
    expect(labD50(deep)[0]).toBeGreaterThan(labD50(without)[0]);
  });

  test('nothing reflects more than it gets', () => {
    for (let seed = 0; seed < 30; seed++) {
      const r = randomOf(seed, 'ground');
      const ground = makeGround(r.pick(['bright silver', 'pale gold', 'graphite', 'random'] as const), r);
      const spectrum = candyReflectance(recipe({ ground, coats: 0 }), straight, {
        first: 0.03,
        internal: 0.58,
      });
      expect(Math.max(...spectrum)).toBeLessThan(1);
      expect(Math.min(...spectrum)).toBeGreaterThan(0);
    }
  });
});
