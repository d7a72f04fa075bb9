/** How colours change with small changes of light and of reflectance. */
import { GRID, type Lab, labFromXyz, localFrame, type Viewing, xyzFromReflectance } from '../color/index.ts';

const N = GRID.count;

/** ∂Lab/∂XYZ, 3 × 3. */
export function labByXyz(xyz: readonly number[], under: Viewing): Float64Array {
  const out = new Float64Array(9);
  for (let c = 0; c < 3; c++) {
    const step = 0.01 * xyz[c];
    const plus: [number, number, number] = [xyz[0], xyz[1], xyz[2]];
    const minus: [number, number, number] = [xyz[0], xyz[1], xyz[2]];
    plus[c] += step;
    minus[c] -= step;
    const a = labFromXyz(plus, under.white);
    const b = labFromXyz(minus, under.white);
    for (let k = 0; k < 3; k++) out[3 * k + c] = (a[k] - b[k]) / (2 * step);
  }
  return out;
}

/** Three rows of 36: a small change of reflectance to a change of colour in the local ΔE2000 frame. */
export type ColourGradient = readonly Float64Array[];

export function colourGradient(r: Float64Array, lab: Lab, under: Viewing): ColourGradient {
  const frame = localFrame(lab);
  const byXyz = labByXyz(xyzFromReflectance(r, under), under);
  return [0, 1, 2].map((row) => {
    const byAxis = [0, 1, 2].map((c) =>
      [0, 1, 2].reduce((s, a) => s + frame[3 * row + a] * byXyz[3 * a + c], 0),
    );
    return Float64Array.from({ length: N }, (_, i) =>
      under.weights.reduce((s, w, c) => s + byAxis[c] * w[i], 0),
    );
  });
}

/** Change of colour, in the local ΔE2000 frame, that a change of reflectance makes. */
export function colourChange(gradient: ColourGradient, change: Float64Array): [number, number, number] {
  const out: [number, number, number] = [0, 0, 0];
  for (let a = 0; a < 3; a++) for (let i = 0; i < N; i++) out[a] += gradient[a][i] * change[i];
  return out;
}
