import { describe, expect, it } from 'vitest';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { deltaE2000, type Lab, labFromReflectance, localFrame, viewing } from '../../src/core/color/index.ts';
import {
  ownPrintModes,
  patchSpectrum,
  shapeModes,
  smoothReflectance,
} from '../../src/core/correction/patch-spectra.ts';
import { ownDoubts, sharedPrintModes } from '../../src/core/correction/print-error.ts';

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
  const rms = (reflectance: Float64Array, modes: readonly Float64Array[]): number => {
    const lab = labFromReflectance(reflectance, D50);
    const step = 0.1;
    const squared = modes.reduce((sum, mode) => {
      const moved = labFromReflectance(
        reflectance.map((v, i) => v + step * mode[i]),
        D50,
      );
      return sum + (deltaE2000(moved, lab) / step) ** 2;
    }, 0);
    return Math.sqrt(squared);
  };
  const stated = (u: number) => OWN_CARD.patches.map((p) => ({ u, ...patchSpectrum(p, D50) }));

  it('in one patch by itself: the root-mean-square ΔE2000 is what is asked for', () => {
    for (const id of ['N4', 'F1', 'B3', 'H5']) {
      const patch = OWN_CARD.patches.find((p) => p.id === id)!;
      const spectrum = patchSpectrum(patch, D50);
      expect(rms(spectrum.reflectance, ownPrintModes(spectrum, 0.4))).toBeCloseTo(0.4, 1);
    }
  });

  it('all in all, over the recipes of a card, by its stated u', () => {
    for (const u of [0.4, 2]) {
      const patches = stated(u);
      const own = ownDoubts(patches);
      const shared = sharedPrintModes(patches, D50);
      const colours = patches.flatMap((p, i) =>
        /^[FBHN]/.test(OWN_CARD.patches[i].id) && OWN_CARD.patches[i].id !== 'N1'
          ? [Math.hypot(own[i], rms(p.reflectance, shared[i]))]
          : [],
      );
      const all = Math.sqrt(colours.reduce((s, v) => s + v * v, 0) / colours.length);
      expect(all / u).toBeGreaterThan(0.85);
      expect(all / u).toBeLessThan(1.15);
    }
  });

  it('in its spectrum without its colour, and more so where there is more ink', () => {
    const [white, red] = ['N1', 'F1'].map((id) => {
      const i = OWN_CARD.patches.findIndex((p) => p.id === id);
      const { reflectance } = stated(2)[i];
      const paper = stated(2)[0].reflectance;
      const modes = shapeModes(stated(2)[i], paper, 1);
      expect(rms(reflectance, modes)).toBeLessThan(0.2);
      const sizes = modes.map((m) => Math.hypot(...m.map((v, k) => v / reflectance[k])));
      return sizes.reduce((a, b) => a + b, 0);
    });
    expect(red).toBeGreaterThan(2 * white);
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
