import { describe, expect, it } from 'vitest';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { deltaE2000, type Lab, labFromReflectance, localFrame, viewing } from '../../src/core/color/index.ts';
import { patchSpectrum, smoothReflectance } from '../../src/core/correction/patch-spectra.ts';

const D50 = viewing('D50/2');

describe('a patch known by Lab alone gets a smooth spectrum of that colour', () => {
  const colours: Lab[] = [
    [95, 0, 2],
    [50, 0, 0],
    [20, 0, 0],
    [40, 55, 30],
    [55, -45, 30],
    [30, 20, -50],
    [80, 5, 80],
    [50, -25, -30],
  ];
  it.each(colours.map((c) => [c.join(', '), c] as const))('Lab %s', (_, lab) => {
    const r = smoothReflectance(lab, D50);
    expect(deltaE2000(labFromReflectance(r, D50), lab)).toBeLessThan(0.02);
    expect(Math.min(...r)).toBeGreaterThan(0);
    const steps = Array.from(r.slice(1), (v, i) => Math.abs(Math.log(v / r[i])));
    expect(Math.max(...steps)).toBeLessThan(0.6);
  });
});

describe('how a print may be off', () => {
  it('in one patch by itself: the root-mean-square ΔE2000 is its stated u where u is small', () => {
    for (const id of ['N4', 'F1', 'B3', 'H5']) {
      const patch = { ...OWN_CARD.patches.find((p) => p.id === id)!, u: 0.4 };
      const { reflectance, printModes } = patchSpectrum(patch, 'D50/2');
      const lab = labFromReflectance(reflectance, D50);
      const squared = printModes.reduce((sum, mode) => {
        const moved = labFromReflectance(
          reflectance.map((v, i) => v + mode[i]),
          D50,
        );
        return sum + deltaE2000(moved, lab) ** 2;
      }, 0);
      expect(Math.sqrt(squared)).toBeGreaterThan(0.36);
      expect(Math.sqrt(squared)).toBeLessThan(0.44);
    }
  });
});

describe('the local frame', () => {
  it('gives CIEDE2000 of small differences', () => {
    for (const lab of [
      [50, 2.5, 0],
      [35, 45, 25],
      [70, -20, 60],
      [30, 10, -45],
    ] as Lab[]) {
      const f = localFrame(lab);
      for (const d of [
        [0.3, 0.2, -0.4],
        [-0.2, 0.5, 0.1],
        [0.1, -0.3, 0.3],
      ]) {
        const framed = Math.hypot(
          f[0] * d[0] + f[1] * d[1] + f[2] * d[2],
          f[4] * d[1] + f[5] * d[2],
          f[8] * d[2],
        );
        const true_de00 = deltaE2000(lab, [lab[0] + d[0], lab[1] + d[1], lab[2] + d[2]]);
        expect(Math.abs(framed / true_de00 - 1)).toBeLessThan(0.05);
      }
    }
  });
});
