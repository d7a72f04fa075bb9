/** Spectra of card patches: their own, or a smooth one bent to their Lab; and how they may be off. */

import { printReflectance } from '../card/print-model.ts';
import type { CardPatch } from '../card/types.ts';
import {
  deltaE2000,
  GRID,
  type Lab,
  labFromReflectance,
  toGrid,
  type Viewing,
  xyzFromLab,
  xyzFromReflectance,
} from '../color/index.ts';
import { cholesky, choleskySolve, invert3, type Mat3, multiply3, type Vec3 } from '../math/linear.ts';
import { type ColourGradient, colourChange, colourGradient } from './colour-change.ts';
import { BANDS } from './print-error.ts';

const N = GRID.count;

/** A patch as the fit sees it. */
export interface PatchSpectrum {
  readonly reflectance: Float64Array;
  readonly lab: Lab;
  /** How its colour changes with its reflectance. */
  readonly gradient: ColourGradient;
  readonly source: SpectrumSource;
  /** ΔE2000 between the stated Lab and the spectrum that was moved to it; 0 where none was. */
  readonly apart_de00: number;
}

/** Where a spectrum comes from: stated; the nominal print of its dot areas; or its Lab, as smooth as can be. */
export type SpectrumSource = 'stated' | 'inks' | 'lab';

/** A stated spectrum as near as this to the stated Lab is taken as it stands. */
const SAME_COLOUR_DE00 = 0.1;

/** Reflectance on the grid, Lab and their gradient of a card patch. */
export function patchSpectrum(patch: CardPatch, under: Viewing): PatchSpectrum {
  const source = patch.spectrum ? 'stated' : patch.print?.cmyk ? 'inks' : 'lab';
  const own = patch.spectrum
    ? toGrid(patch.spectrum)
    : patch.print?.cmyk && printReflectance(patch.print.cmyk);
  const lab = patch.lab ?? labFromReflectance(own!, under);
  const apart_de00 = own ? deltaE2000(labFromReflectance(own, under), lab) : 0;
  const reflectance = own ? movedTo(own, apart_de00, lab, under) : smoothReflectance(lab, under);
  return { reflectance, lab, gradient: colourGradient(reflectance, lab, under), source, apart_de00 };
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

function movedTo(own: Float64Array, apart_de00: number, lab: Lab, under: Viewing): Float64Array {
  return apart_de00 < SAME_COLOUR_DE00 ? own : bent(own, lab, under);
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

/** How much of each band of ln R makes a unit step along each axis of the local ΔE2000 frame. */
function bandsByAxis(r: Float64Array, gradient: ColourGradient): Mat3 {
  const [short, middle, long] = BANDS.map((band) =>
    colourChange(
      gradient,
      r.map((v, i) => v * band[i]),
    ),
  );
  const rows = [0, 1, 2].flatMap((a) => [short[a], middle[a], long[a]]);
  return invert3(rows as unknown as Mat3);
}

/** Three ways in which a patch may be off by itself, such that its colour's rms ΔE2000 is `u`. */
export function ownPrintModes({ reflectance: r, gradient }: PatchSpectrum, u: number): Float64Array[] {
  const inverse = bandsByAxis(r, gradient);
  const size = u / Math.sqrt(3);
  return [0, 1, 2].map((axis) => {
    const amplitude: Vec3 = [inverse[axis], inverse[3 + axis], inverse[6 + axis]];
    return r.map(
      (v, i) =>
        size * v * (amplitude[0] * BANDS[0][i] + amplitude[1] * BANDS[1][i] + amplitude[2] * BANDS[2][i]),
    );
  });
}

const SHAPE_SIZE = 0.3;
const SHAPE_SPACING_NM = 35;
const SHAPE_SIGMA_NM = 25;
const SHAPE_BUMPS = Array.from({ length: 10 }, (_, k) => {
  const centre = 395 + k * SHAPE_SPACING_NM;
  return Float64Array.from({ length: N }, (_, i) =>
    Math.exp(-0.5 * ((GRID.start_nm + i * GRID.step_nm - centre) / SHAPE_SIGMA_NM) ** 2),
  );
});

/**
 * Ways in which a patch's spectrum may differ and its colour not: other inks print the same Lab. Bumps of ln R,
 * larger where there is more ink, each brought back to the same colour by the three bands; `size` is 1 for a print that
 * nobody measured.
 */
export function shapeModes(
  { reflectance: r, gradient }: PatchSpectrum,
  paper: Float64Array,
  size: number,
): Float64Array[] {
  const atSameColour = sameColour({ reflectance: r, gradient });
  const inked = r.map((v, i) => {
    const density = Math.max(0, Math.log(paper[i] / Math.max(v, 1e-3)));
    return 0.1 + density / (1 + 0.5 * density);
  });
  return SHAPE_BUMPS.map((shape) => {
    const bump = r.map((v, i) => size * SHAPE_SIZE * inked[i] * v * shape[i]);
    return atSameColour(bump);
  });
}

/** Takes a change of a patch's reflectance, and brings its colour back by the three bands. */
export function sameColour({
  reflectance: r,
  gradient,
}: Pick<PatchSpectrum, 'reflectance' | 'gradient'>): (change: Float64Array) => Float64Array {
  const inverse = bandsByAxis(r, gradient);
  return (change) => {
    const back = multiply3(inverse, colourChange(gradient, change));
    return change.map(
      (v, i) => v - r[i] * (back[0] * BANDS[0][i] + back[1] * BANDS[1][i] + back[2] * BANDS[2][i]),
    );
  };
}
