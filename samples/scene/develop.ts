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
  const m = Float64Array.from(pipeline.matrix);
  const normals = lattice.normals;
  const light = new Float64Array(3);
  let counter = 0x9e3779b9;
  const addNoise = (raw: Float32Array, at: number): void => {
    for (let c = 0; c < 3; c++) {
      const v = raw[at + c];
      counter = (Math.imul(counter, 1664525) + 1013904223) >>> 0;
      light[c] = v + noise * Math.sqrt(5e-5 * Math.max(0, v) + 8e-7) * normals[counter >>> 18];
    }
  };
  const encode = (codes: Uint8Array | Uint16Array, at: number): void => {
    for (let c = 0; c < 3; c++) {
      const x = m[3 * c] * light[0] + m[3 * c + 1] * light[1] + m[3 * c + 2] * light[2];
      const step = Math.min(STEPS, Math.sqrt(Math.max(0, x)) * last + 0.5);
      codes[at + c] = table[step | 0] + 0.5;
    }
  };
  const encodeTaste = (codes: Uint8Array | Uint16Array, at: number): void => {
    const shown = rendered(pipeline, [light[0], light[1], light[2]]);
    for (let c = 0; c < 3; c++) codes[at + c] = levels * (isLinear ? shown[c] : srgbEncode(shown[c])) + 0.5;
  };
  const write = pipeline.preferred > 0 ? encodeTaste : encode;
  return {
    develop: (raw, from, codes, to, count) => {
      for (let k = 0; k < 3 * count; k += 3) {
        addNoise(raw, from + k);
        write(codes, to + k);
      }
    },
  };
}
