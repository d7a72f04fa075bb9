/** How far a panel's reading is from what a setting of the unknowns gives, and what that costs. */
import type { FilmModel } from './model.ts';
import type { Observation } from './observe.ts';
import type { Unknowns } from './unknowns.ts';

/** Huber's loss of a residual's length, and the weight it leaves the residual. */
export function huber([a, b, c]: Float64Array, limit: number): { loss: number; weight: number } {
  const square = a * a + b * b + c * c;
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
  const [from, errors] = kept ? [sharedAt, x] : [3 * g, shared];
  const [l, a, b] = panel.reading.lab;
  const [dl, da, db] = [lab[0] - l, lab[1] - a, lab[2] - b];
  for (let c = 0; c < 3; c++) {
    out[c] = u[3 * c] * dl + u[3 * c + 1] * da + u[3 * c + 2] * db;
    if (q)
      out[c] += q[3 * c] * errors[from] + q[3 * c + 1] * errors[from + 1] + q[3 * c + 2] * errors[from + 2];
  }
}
