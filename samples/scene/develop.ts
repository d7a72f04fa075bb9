/** From linear light per pixel to the file's codes: noise, the maker's matrix, tone curve, encoding. */
import type { LatticeNoise } from './lattice-noise.ts';
import { type Pipeline, rendered, srgbEncode } from './pipeline.ts';

export interface Developer {
  /** Develops `count` pixels of balanced raw light from `from` into codes at `to`. */
  develop(raw: Float32Array, from: number, codes: Uint8Array | Uint16Array, to: number, count: number): void;
}

const STEPS = 16384;
/** Linear value at the table's end. */
const TOP = 4;

/** `noise` multiplies the sensor's shot and read noise; 0 leaves it out. */
export function makeDeveloper(pipeline: Pipeline, lattice: LatticeNoise, noise: number): Developer {
  const isLinear = pipeline.pixels === 'linear';
  const levels = isLinear ? 65535 : 255;
  // spaced by the square root, so that shadows have fine steps
  const table = Float32Array.from({ length: STEPS + 1 }, (_, i) => {
    const shown = pipeline.tone(TOP * (i / STEPS) ** 2);
    return levels * (isLinear ? shown : srgbEncode(shown));
  });
  const last = STEPS / Math.sqrt(TOP);
  const codeOf = (x: number): number => {
    const step = Math.min(STEPS, Math.sqrt(Math.max(0, x)) * last + 0.5);
    return table[step | 0] + 0.5;
  };
  const [m0, m1, m2, m3, m4, m5, m6, m7, m8] = pipeline.matrix;
  const write = (codes: Uint8Array | Uint16Array, at: number, r: number, g: number, b: number): void => {
    codes[at] = codeOf(m0 * r + m1 * g + m2 * b);
    codes[at + 1] = codeOf(m3 * r + m4 * g + m5 * b);
    codes[at + 2] = codeOf(m6 * r + m7 * g + m8 * b);
  };
  const writeTaste = (codes: Uint8Array | Uint16Array, at: number, r: number, g: number, b: number): void => {
    const shown = rendered(pipeline, [r, g, b]);
    for (let c = 0; c < 3; c++) codes[at + c] = levels * (isLinear ? shown[c] : srgbEncode(shown[c])) + 0.5;
  };
  const hasTaste = pipeline.preferred > 0;
  const { normals } = lattice;
  const noisy = (v: number, drawn: number): number =>
    v + noise * Math.sqrt(5e-5 * Math.max(0, v) + 8e-7) * normals[drawn >>> 18];
  let counter = 0x9e3779b9 | 0;
  return {
    develop: (raw, from, codes, to, count) => {
      let drawn = counter;
      for (let k = 0; k < 3 * count; k += 3) {
        drawn = next(drawn);
        const r = noisy(raw[from + k], drawn);
        drawn = next(drawn);
        const g = noisy(raw[from + k + 1], drawn);
        drawn = next(drawn);
        const b = noisy(raw[from + k + 2], drawn);
        if (hasTaste) writeTaste(codes, to + k, r, g, b);
        else write(codes, to + k, r, g, b);
      }
      counter = drawn;
    },
  };
}

/** Whole numbers one after the other (linear congruences, Numerical Recipes' factors). */
function next(drawn: number): number {
  return (Math.imul(drawn, 1664525) + 1013904223) | 0;
}
