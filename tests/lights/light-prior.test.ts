import { describe, expect, it } from 'vitest';
import { daylightPower, lightColour, nodeWeights, planckPower } from '../../src/core/color/index.ts';
import { chromaticityOfPower } from '../../src/core/color/light.ts';
import { SHIPPED_LIGHTS } from '../../src/core/correction/light-prior.ts';
import { adaptedXyz } from '../../src/core/correction/light-targets.ts';
import { SHIPPED_PRIOR } from '../../src/core/correction/prior.ts';
import { colourOfPower } from '../correction/light-by-spectrum.ts';

describe('the table of lights', () => {
  it('follows the modes of the sensitivities that it was learned with', () => {
    for (const pixels of ['raw', 'rendered'] as const)
      for (const kind of SHIPPED_LIGHTS[pixels].kinds)
        expect(kind.centre.length).toBeLessThan(SHIPPED_PRIOR[pixels].modes.length);
  });

  it('has daylight among the daylights and lamps among the lamps (CIE 15:2018, 4.1.2; Planck)', () => {
    const means = new Map(SHIPPED_LIGHTS.raw.kinds.map((k) => [k.name, colourOfPower(k.mean)]));
    expect(means.get('day')!.cct_k).toBeGreaterThan(4800);
    expect(means.get('day')!.cct_k).toBeLessThan(7500);
    expect(means.get('lamp')!.cct_k).toBeGreaterThan(2500);
    expect(means.get('lamp')!.cct_k).toBeLessThan(3400);
  });
});

describe('the colour of a light', () => {
  it('of CIE daylight and of Planckian radiators is their own, on the nodes too', () => {
    for (const power of [daylightPower(5000), daylightPower(6500), planckPower(2856)]) {
      const fine = lightColour(chromaticityOfPower(power));
      const onNodes = colourOfPower(nodeWeights(Array.from(power)));
      expect(Math.abs(1e6 / onNodes.cct_k - 1e6 / fine.cct_k)).toBeLessThan(1.5);
    }
  });
});

describe('a colour as seen', () => {
  it('is white for the perfect diffuser in any light', () => {
    const white = new Array(36).fill(1);
    for (const power of [daylightPower(5000), planckPower(2700)]) {
      const [x, y, z] = adaptedXyz(white, nodeWeights(Array.from(power)), 'D50/2');
      expect(x).toBeCloseTo(0.9642, 2);
      expect(y).toBeCloseTo(1, 6);
      expect(z).toBeCloseTo(0.8251, 2);
    }
  });
});
