/**
 * What photos of one card have in common: the print's errors. Each fit errs by them in its own way, so colours read in
 * two photos of one card agree in part because both are wrong alike; the join has to know.
 */
import { solveLower, solveLowerTransposed } from '../math/linear.ts';
import { dot, type Fit, type FitPatch, sensitivitiesOf } from './fit-model.ts';

/** How a photo's colours err with the print: rows as in the estimate, columns named by what is off. */
export interface PrintFactor {
  readonly names: readonly string[];
  /** How many of the columns, the first, are the print's as a whole. */
  readonly shared: number;
  /** 3n × columns, row-major. */
  readonly factor: Float64Array;
}

/**
 * How n × 3 colours with whitened gradients by θ (L⁻¹Gᵀ, row-major) err with the print: by its shared modes and by each
 * patch's own.
 */
export function printFactor(fit: Fit, gradients: Float64Array): PrintFactor {
  const e = sensitivitiesOf(fit, fit.theta);
  const { size, print } = fit.layout;
  const rows = gradients.length / size;
  const shared = size - print - (fit.patches[0]?.ofPhoto ?? 0);
  const own = fit.patches.map((patch, i) => changes(patch.printModes, fit, e, i));
  const names = [
    ...Array.from({ length: shared }, (_, k) => `print ${k}`),
    ...fit.patches.flatMap((patch, i) => own[i].map((_, k) => `${nameOf(patch)} ${k}`)),
  ];
  const out = new Float64Array(rows * names.length);
  for (let row = 0; row < rows; row++) {
    const w = solveLowerTransposed(fit.hessian, size, gradients.slice(row * size, (row + 1) * size));
    const from = row * names.length;
    for (let k = 0; k < shared; k++) out[from + k] = -w[print + k];
    let at = from + shared;
    fit.rows.forEach(({ jacobian, weight }, i) => {
      const pull = [0, 1, 2].map((c) => {
        let s = 0;
        for (let k = 0; k < size; k++) s += jacobian[c * size + k] * w[k];
        return weight * s;
      });
      for (const [x, y, z] of own[i]) out[at++] = -(pull[0] * x + pull[1] * y + pull[2] * z);
    });
  }
  return { names, shared, factor: out };
}

/** A patch is the same in two photos when it has the same id and stated colour. */
function nameOf({ id, lab, stated = lab, u }: FitPatch): string {
  return `${id} ${stated.map((v) => v.toFixed(2)).join()} ${u}`;
}

/** Whitened change of patch i's readings with each mode of its reflectance. */
function changes(modes: readonly Float64Array[], fit: Fit, e: Float64Array, i: number): Float64Array[] {
  const { scatter, through } = fit.rows[i];
  return modes.map((m) => {
    const change = Float64Array.from(through, (g, c) => g * dot(e, c, m));
    solveLower(scatter, 3, change);
    return change;
  });
}

/** Covariance (3n × 3m) that two photos of one card share through its print. */
export function sharedCovariance(a: PrintFactor, b: PrintFactor): Float64Array | undefined {
  const at = new Map(b.names.map((name, k) => [name, k]));
  const pairs = a.names.flatMap((name, k) => {
    const other = at.get(name);
    return other === undefined ? [] : [[k, other] as const];
  });
  // other cards have other prints, whatever the modes' names
  if (!pairs.some(([k]) => k >= a.shared)) return undefined;
  const [p, q] = [a.names.length, b.names.length];
  const [n, m] = [a.factor.length / p, b.factor.length / q];
  const out = new Float64Array(n * m);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < m; j++) {
      let s = 0;
      for (const [k, l] of pairs) s += a.factor[i * p + k] * b.factor[j * q + l];
      out[i * m + j] = s;
    }
  return out;
}
