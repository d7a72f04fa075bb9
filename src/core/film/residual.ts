/** How far a panel's reading is from what a setting of the unknowns gives, and what that costs. */
import type { FilmModel } from './model.ts';
import type { Observation } from './observe.ts';
import type { Unknowns } from './unknowns.ts';

/** Huber's loss of a residual's length, and the weight it leaves the residual. */
export function huber(r: Float64Array, limit: number): { loss: number; weight: number } {
  const square = r[0] * r[0] + r[1] * r[1] + r[2] * r[2];
  const length = Math.sqrt(square);
  if (length <= limit) return { loss: square, weight: 1 };
  return { loss: 2 * limit * length - limit * limit, weight: limit / length };
}

/** The whitened residual; `kept` groups have their shared error among the model's unknowns. */
export function writeResidual(
  { sharedAt }: FilmModel,
  { panel, toUnit: u, sharedUnit: q }: Observation,
  lab: readonly [number, number, number],
  { x, shared }: Unknowns,
  kept: boolean,
  g: number,
  out: Float64Array,
): void {
  const from = kept ? sharedAt : 3 * g;
  const errors = kept ? x : shared;
  const read = panel.reading.lab;
  const dl = lab[0] - read[0];
  const da = lab[1] - read[1];
  const db = lab[2] - read[2];
  for (let c = 0; c < 3; c++) {
    out[c] = u[3 * c] * dl + u[3 * c + 1] * da + u[3 * c + 2] * db;
    if (q)
      out[c] += q[3 * c] * errors[from] + q[3 * c + 1] * errors[from + 1] + q[3 * c + 2] * errors[from + 2];
  }
}

/** How the whitened residual changes with n unknowns (3 × n), by the colour's derivatives. */
export function writeRows(
  { toUnit: u }: Pick<Observation, 'toUnit'>,
  jacobian: Float64Array,
  n: number,
  out: Float64Array,
): void {
  for (let c = 0; c < 3; c++)
    for (let k = 0; k < n; k++)
      out[c * n + k] =
        u[3 * c] * jacobian[k] + u[3 * c + 1] * jacobian[n + k] + u[3 * c + 2] * jacobian[2 * n + k];
}
