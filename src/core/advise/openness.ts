/** How open the fit leaves a recipe's colour, and which panel would close it most. */

import { localFrame } from '../color/index.ts';
import { filmDerivatives } from '../film/derivatives.ts';
import type { FilmFit, Recipe } from '../film/index.ts';
import { compileRecipe } from '../film/model.ts';
import { invert3, type Mat3, solveLower } from '../math/linear.ts';

/** A recipe's sensitivity to the unknowns in units of their posterior: rows of L⁻¹Jᵀ in the local ΔE2000 frame. */
export interface Sensitivity {
  readonly rows: readonly [Float64Array, Float64Array, Float64Array];
  /** Derivative by the panel's own ln film amount. */
  readonly byHand: readonly [number, number, number];
}

export function sensitivity(fit: FilmFit, recipe: Recipe): Sensitivity {
  const { model, state, factor } = fit;
  const n = model.size;
  const jacobian = new Float64Array(3 * n);
  const hand = new Float64Array(3);
  const lab = filmDerivatives(model, state, compileRecipe(model, recipe), 0, jacobian, hand);
  // not turned back to L*, a*, b*: only lengths and traces are asked for
  const w = localFrame(lab);
  const row = (c: number): Float64Array => {
    const out = new Float64Array(n);
    for (let j = 0; j < n; j++)
      out[j] = w[3 * c] * jacobian[j] + w[3 * c + 1] * jacobian[n + j] + w[3 * c + 2] * jacobian[2 * n + j];
    return solveLower(factor, n, out);
  };
  const byHand = (c: number): number => w[3 * c] * hand[0] + w[3 * c + 1] * hand[1] + w[3 * c + 2] * hand[2];
  return { rows: [row(0), row(1), row(2)], byHand: [byHand(0), byHand(1), byHand(2)] };
}

function cross(a: Sensitivity, b: Sensitivity): Mat3 {
  const out = new Array<number>(9).fill(0);
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++) {
      const [p, q] = [a.rows[i], b.rows[j]];
      let sum = 0;
      for (let k = 0; k < p.length; k++) sum += p[k] * q[k];
      out[3 * i + j] = sum;
    }
  return out as unknown as Mat3;
}

/** Mean squared ΔE2000 that the fit leaves open for a recipe. */
export function openVariance(s: Sensitivity): number {
  return s.rows.reduce((sum, row) => sum + row.reduce((t, v) => t + v * v, 0), 0);
}

/** What would be left open of `goal` once a panel of `panel` has been sprayed and measured with uncertainty u. */
export function openAfter(goal: Sensitivity, panel: Sensitivity, fit: FilmFit, u: number): number {
  const { hand, misfit } = fit.model.priors;
  const own = cross(panel, panel);
  const noise = (u * u + misfit * misfit) / 3;
  const seen = own.map(
    (v, i) =>
      v + hand * hand * panel.byHand[Math.floor(i / 3)] * panel.byHand[i % 3] + (i % 4 === 0 ? noise : 0),
  );
  const inverse = invert3(seen as unknown as Mat3);
  const c = cross(goal, panel);
  let gain = 0;
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++)
      for (let k = 0; k < 3; k++) gain += c[3 * i + j] * inverse[3 * j + k] * c[3 * i + k];
  return openVariance(goal) - gain;
}
