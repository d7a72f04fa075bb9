import { describe, expect, it } from 'vitest';
import { type LIGHT_KINDS, randomScene, sceneReadings } from '../../samples/scene/index.ts';
import { OWN_CARD, stripsBeside } from '../../src/core/card/own.ts';
import type { Fit } from '../../src/core/correction/fit-model.ts';
import { fitUnderKinds, mixtureOf } from '../../src/core/correction/fit-under-kinds.ts';
import { weighKinds } from '../../src/core/correction/light-kinds.ts';
import { type LightPrior, SHIPPED_LIGHTS } from '../../src/core/correction/light-prior.ts';
import { choleskySolve } from '../../src/core/math/linear.ts';
import { correctionOf } from '../bench/accuracy/run-scene.ts';

const strips = stripsBeside(OWN_CARD);

function cardFit(seed: number, light: (typeof LIGHT_KINDS)[number], pixels: 'linear' | 'jpeg'): Fit {
  const scene = randomScene(seed, {
    family: 'judge',
    card: OWN_CARD,
    strips,
    cardTier: 'measured',
    panels: 2,
    pixels,
    light,
  });
  return correctionOf(sceneReadings(scene)).cardFit;
}

/** Posterior covariance of the learned modes' coefficients, k × k. */
function covarianceOf({ hessian, layout }: Fit, k: number): number[] {
  return Array.from({ length: k }, (_, m) => {
    const unit = new Float64Array(layout.size);
    unit[layout.sensitivity + m] = 1;
    choleskySolve(hessian, layout.size, unit);
    return [...unit.subarray(layout.sensitivity, layout.sensitivity + k)];
  }).flat();
}

/** Jᵀr of all patches: what the card asks of each unknown. */
function pullOfCard({ rows, layout: { size } }: Fit): Float64Array {
  const pull = new Float64Array(size);
  for (const { weight, residual, jacobian } of rows)
    for (let c = 0; c < 3; c++)
      for (let i = 0; i < size; i++) pull[i] += weight * jacobian[c * size + i] * residual[c];
  return pull;
}

const largestGap = (a: ArrayLike<number>, b: ArrayLike<number>): number =>
  Array.from(a).reduce((worst, v, i) => Math.max(worst, Math.abs(v - b[i])), 0);

describe.each(['linear', 'jpeg'] as const)('a fit to the card in %s pixels', (pixels) => {
  const fit = cardFit(730, 'cool-led', pixels);
  const prior = SHIPPED_LIGHTS[pixels === 'linear' ? 'raw' : 'rendered'];
  const k = prior.kinds[0].centre.length;

  it('stays as it is under one kind that says what the fit has believed already', () => {
    const alone: LightPrior = {
      kinds: [{ ...prior.kinds[0], centre: new Float64Array(k), follow: [] }],
      cameras: Float64Array.from({ length: k * k }, (_, i) => (i % (k + 1) === 0 ? 1 : 0)),
    };
    const under = fitUnderKinds(fit, weighKinds(fit, alone));
    expect(largestGap(under.theta, fit.theta)).toBeLessThan(1e-5);
    expect(largestGap(under.hessian, fit.hessian)).toBeLessThan(1e-5);
  });

  it('takes on mean and covariance of the kinds that are possible, by their weights', () => {
    const weighed = weighKinds(fit, prior);
    expect(weighed.kinds.length).toBeGreaterThan(1);
    expect(weighed.kinds.reduce((s, u) => s + u.weight, 0)).toBeCloseTo(1, 12);
    const under = fitUnderKinds(fit, weighed);
    const mixed = mixtureOf(weighed.kinds);
    const { sensitivity } = fit.layout;
    expect(largestGap(mixed.theta, under.theta.subarray(sensitivity, sensitivity + k))).toBeLessThan(1e-5);
    expect(largestGap(mixed.spread, covarianceOf(under, k))).toBeLessThan(1e-5);
  });

  it('is where one kind and the card pull alike: residuals move with the unknowns', () => {
    const weighed = weighKinds(fit, { kinds: [prior.kinds[0]], cameras: prior.cameras });
    const under = fitUnderKinds(fit, weighed);
    const [{ kind, priorInverse }] = weighed.kinds;
    const { sensitivity } = fit.layout;
    const pullOfKind = under.theta.slice();
    for (let i = 0; i < k; i++)
      pullOfKind[sensitivity + i] = kind.centre.reduce(
        (s, c, j) => s + priorInverse[i * k + j] * (under.theta[sensitivity + j] - c),
        0,
      );
    // what the fit's own last step left is left again
    const byKind = pullOfKind.map((v, i) => v - fit.theta[i]);
    const byCard = pullOfCard(fit).map((v, i) => v - pullOfCard(under)[i]);
    expect(largestGap(byKind, new Float64Array(byKind.length))).toBeGreaterThan(0.5);
    expect(largestGap(byKind, byCard)).toBeLessThan(1e-4);
  });
});

describe('of a raw photo of the card', () => {
  const told = (light: 'day' | 'lamp' | 'tri-phosphor'): number => {
    const seeds = Array.from({ length: 8 }, (_, i) => 740 + i);
    return (
      seeds.reduce((sum, seed) => {
        const { kinds } = weighKinds(cardFit(seed, light, 'linear'), SHIPPED_LIGHTS.raw);
        return sum + (kinds.find((u) => u.kind.name === light)?.weight ?? 0);
      }, 0) / seeds.length
    );
  };

  it('daylight, tubes and lamps are told for what they are, before anyone names them', () => {
    expect(told('day')).toBeGreaterThan(0.75);
    expect(told('tri-phosphor')).toBeGreaterThan(0.5);
    // the infrared glass hides where a lamp is strongest; any of seven kinds by chance would get a seventh
    expect(told('lamp')).toBeGreaterThan(0.44);
  });
});
