/** Spectra of card patches: their own, or a smooth one bent to their Lab; and how they may be off. */

import type { CardPatch } from '../card/types.ts';
import {
  deltaE2000,
  GRID,
  type Lab,
  labFromReflectance,
  localFrame,
  toGrid,
  type Viewing,
  viewing,
  xyzFromLab,
  xyzFromReflectance,
} from '../color/index.ts';
import { cholesky, choleskySolve, invert3, type Mat3, multiply3, type Vec3 } from '../math/linear.ts';

const N = GRID.count;

/** A patch as the fit sees it. */
export interface PatchSpectrum {
  readonly reflectance: Float64Array;
  readonly lab: Lab;
  /** Three ways (36 values each) in which the print may be off; sizes such that the colour's rms ΔE2000 is `u`. */
  readonly printModes: readonly [Float64Array, Float64Array, Float64Array];
}

/** Reflectance on the grid, Lab and print modes of a card patch. */
export function patchSpectrum(patch: CardPatch, white: string): PatchSpectrum {
  const under = viewing(white);
  const own = patch.spectrum ? toGrid(patch.spectrum) : undefined;
  const lab = patch.lab ?? labFromReflectance(own!, under);
  const agrees = own && deltaE2000(labFromReflectance(own, under), lab) < 0.1;
  const reflectance = agrees ? own : own ? bent(own, lab, under) : smoothReflectance(lab, under);
  return {
    reflectance,
    lab,
    printModes: printModes(reflectance, lab, patch.u * Math.sqrt(1 - sharedShare(patch.u)), under),
  };
}

/** Prior covariance of ln R: level, slope and a smooth part; matt prints and paints. */
const SHAPE_COVARIANCE = (() => {
  const k = new Float64Array(N * N);
  for (let i = 0; i < N; i++)
    for (let j = 0; j < N; j++) {
      const d = ((i - j) * GRID.step_nm) / 55;
      const slope = ((i - N / 2) * (j - N / 2) * GRID.step_nm ** 2) / 150 ** 2;
      k[i * N + j] = 1.2 ** 2 + 0.5 ** 2 * slope + 0.7 ** 2 * Math.exp(-0.5 * d * d);
    }
  return k;
})();

/** The most plausible smooth reflectance of a Lab colour: ln R Gaussian with `SHAPE_COVARIANCE`, XYZ matched by Newton steps. */
export function smoothReflectance(lab: Lab, under: Viewing): Float64Array {
  return matched(new Float64Array(N).fill(Math.log(0.3)), lab, under);
}

/** A known reflectance moved least, in ln R, to have exactly this Lab. */
function bent(own: Float64Array, lab: Lab, under: Viewing): Float64Array {
  return matched(
    own.map((r) => Math.log(Math.max(r, 1e-4))),
    lab,
    under,
  );
}

function matched(centre: Float64Array, lab: Lab, under: Viewing): Float64Array {
  const target = xyzFromLab(lab, under.white);
  const z = centre.slice();
  for (let step = 0; step < 12; step++) {
    const r = z.map(Math.exp);
    const xyz = xyzFromReflectance(r, under);
    const a = under.weights.map((w) => w.map((v, i) => v * r[i]));
    // K·Aᵀ and A·K·Aᵀ for the constraint A·(z' − z) = target − xyz, least deviation from the centre
    const ka = a.map((row) => {
      const out = new Float64Array(N);
      for (let i = 0; i < N; i++) for (let j = 0; j < N; j++) out[i] += SHAPE_COVARIANCE[i * N + j] * row[j];
      return out;
    });
    const s = new Float64Array(9);
    const b = new Float64Array(3);
    for (let p = 0; p < 3; p++) {
      for (let q = 0; q < 3; q++) for (let i = 0; i < N; i++) s[3 * p + q] += a[p][i] * ka[q][i];
      b[p] = target[p] - xyz[p];
      for (let i = 0; i < N; i++) b[p] += a[p][i] * (z[i] - centre[i]);
    }
    const scale = (s[0] + s[4] + s[8]) / 3;
    const lambda = choleskySolve(cholesky(s, 3, 1e-12 * scale), 3, b);
    let move = 0;
    for (let i = 0; i < N; i++) {
      const to = centre[i] + ka[0][i] * lambda[0] + ka[1][i] * lambda[1] + ka[2][i] * lambda[2];
      const d = Math.max(-0.7, Math.min(0.7, to - z[i]));
      z[i] = Math.min(z[i] + d, 0.25);
      move = Math.max(move, Math.abs(d));
    }
    if (move < 1e-6) break;
  }
  return z.map(Math.exp);
}

/**
 * Share of the variance of a print's error that the patches of one sheet have in common: half for a print never
 * measured, nearly nothing for an instrument's noise.
 */
function sharedShare(u: number): number {
  return 0.5 * Math.min(1, (u / 1.5) ** 2);
}

/** Bands of the spectrum in which a print is off: short, middle and long waves. */
const BANDS = [440, 545, 640].map((centre) =>
  Float64Array.from({ length: N }, (_, i) =>
    Math.exp(-0.5 * ((GRID.start_nm + i * GRID.step_nm - centre) / 48) ** 2),
  ),
);

function printModes(r: Float64Array, lab: Lab, u: number, under: Viewing): PatchSpectrum['printModes'] {
  const frame = localFrame(lab) as unknown as Mat3;
  const base = labFromReflectance(r, under);
  const step = 0.01;
  const columns = BANDS.map((band) => {
    const moved = labFromReflectance(
      r.map((v, i) => v * (1 + step * band[i])),
      under,
    );
    return multiply3(frame, [
      (moved[0] - base[0]) / step,
      (moved[1] - base[1]) / step,
      (moved[2] - base[2]) / step,
    ]);
  });
  const j: Mat3 = [
    columns[0][0],
    columns[1][0],
    columns[2][0],
    columns[0][1],
    columns[1][1],
    columns[2][1],
    columns[0][2],
    columns[1][2],
    columns[2][2],
  ];
  const inverse = invert3(j);
  const size = u / Math.sqrt(3);
  const modes = [0, 1, 2].map((axis) => {
    const amplitude: Vec3 = [inverse[axis], inverse[3 + axis], inverse[6 + axis]];
    return r.map(
      (v, i) =>
        size * v * (amplitude[0] * BANDS[0][i] + amplitude[1] * BANDS[1][i] + amplitude[2] * BANDS[2][i]),
    );
  });
  return modes as unknown as PatchSpectrum['printModes'];
}

/** Number of ways in which all patches of one print may be off together. */
export const SHARED_PRINT_MODES = 10;
/**
 * Their sizes for a print that is off by 2 ΔE2000: paper, ink strength (of density), gain of the half tones by band
 * and, larger, of all inks alike.
 */
const PAPER_SIZE = 0.017;
const STRENGTH_SIZE = 0.07;
const HALFTONE_SIZE = 0.05;
const COMMON_HALFTONE_SIZE = 0.1;

/**
 * How one patch changes when the paper's tint, the inks' strength or the gain of half tones differs from the stated
 * ones, in three bands each and in all (10 × 36). Every patch of a sheet shares these.
 */
export function sharedPrintModes(
  reflectance: Float64Array,
  paper: Float64Array,
  u: number,
): readonly Float64Array[] {
  const size = (u / 2) * Math.sqrt(sharedShare(u) / 0.5);
  const halftone = (r: number, p: number): number => {
    const cover = Math.max(0, Math.min(1, 1 - r / p));
    return -p * cover * (1 - cover);
  };
  const byBand: ((r: number, p: number) => number)[] = [
    (r) => PAPER_SIZE * r,
    (r, p) => STRENGTH_SIZE * r * Math.log(Math.min(1, Math.max(r, 1e-3) / p)),
    (r, p) => HALFTONE_SIZE * halftone(r, p),
  ];
  const white = paper.map((p) => Math.max(p, 0.05));
  return [
    ...byBand.flatMap((kind) =>
      BANDS.map((band) => reflectance.map((r, i) => size * band[i] * kind(r, white[i]))),
    ),
    reflectance.map((r, i) => size * COMMON_HALFTONE_SIZE * halftone(r, white[i])),
  ];
}
