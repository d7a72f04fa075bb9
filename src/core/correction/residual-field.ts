/**
 * What the card still shows: the misfit left at the card's own patches, smoothed over colour by a Gaussian
 * process and added to what is read. Phones bend colours in ways no response per channel explains. Its amplitude
 * is chosen by marginal likelihood, so that it vanishes where the fit is good.
 */
import type { Lab } from '../color/index.ts';
import { cholesky, choleskySolve } from '../math/linear.ts';

/** A patch's colour as read, and card minus read. */
export interface PatchMisfit {
  readonly id: string;
  readonly lab: Lab;
  readonly misfit: Lab;
  /** Standard deviation per axis of what the misfit holds besides the photo's bend, Lab units. */
  readonly noise: number;
}

export interface ResidualField {
  readonly amplitude: number;
  readonly length: number;
}

const AMPLITUDES = [0, 0.5, 1, 1.7, 2.6, 4, 6, 9];
const LENGTHS = [30, 45];
const LIGHTNESS_WEIGHT = 0.6;

function kernel(a: Lab, b: Lab, { amplitude, length }: ResidualField): number {
  const l = LIGHTNESS_WEIGHT * (a[0] - b[0]);
  const d2 = l * l + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2;
  return amplitude * amplitude * Math.exp(-0.5 * (d2 / (length * length)));
}

function gram(m: readonly PatchMisfit[], field: ResidualField): Float64Array {
  const n = m.length;
  const k = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) k[i * n + j] = kernel(m[i].lab, m[j].lab, field);
    k[i * n + i] += m[i].noise ** 2;
  }
  return k;
}

/** Amplitude and length of the largest marginal likelihood, the three axes together. */
export function chooseResidualField(misfits: readonly PatchMisfit[]): ResidualField {
  let best: ResidualField = { amplitude: 0, length: LENGTHS[0] };
  let bestLikelihood = Number.NEGATIVE_INFINITY;
  for (const amplitude of AMPLITUDES)
    for (const length of LENGTHS) {
      const likelihood = logLikelihood(misfits, { amplitude, length });
      if (likelihood > bestLikelihood + 1e-9) {
        bestLikelihood = likelihood;
        best = { amplitude, length };
      }
    }
  return best;
}

function logLikelihood(m: readonly PatchMisfit[], field: ResidualField): number {
  const n = m.length;
  if (n === 0) return 0;
  const l = cholesky(gram(m, field), n);
  let sum = 0;
  for (let i = 0; i < n; i++) sum -= 3 * Math.log(l[i * n + i]);
  for (let axis = 0; axis < 3; axis++) {
    const d = Float64Array.from(m, (p) => p.misfit[axis]);
    const x = choleskySolve(l, n, d.slice());
    for (let i = 0; i < n; i++) sum -= 0.5 * d[i] * x[i];
  }
  return sum;
}

/** What to add to a colour as read, and the variance per axis of that. `without` leaves one patch out. */
export function predictMisfit(
  field: ResidualField,
  misfits: readonly PatchMisfit[],
  lab: Lab,
  without?: string,
): { mean: Lab; variance: number } {
  if (field.amplitude === 0) return { mean: [0, 0, 0], variance: 0 };
  const m = without === undefined ? misfits : misfits.filter((p) => p.id !== without);
  const { means, covariance } = predictMisfits(field, m, [lab]);
  return { mean: means[0], variance: covariance[0] };
}

/** Posterior of the residual field at several colours: means, and the n × n covariance shared by the axes. */
export function predictMisfits(
  field: ResidualField,
  m: readonly PatchMisfit[],
  labs: readonly Lab[],
): { means: Lab[]; covariance: Float64Array } {
  const count = labs.length;
  const covariance = new Float64Array(count * count);
  if (field.amplitude === 0 || m.length === 0) return { means: labs.map(() => [0, 0, 0] as Lab), covariance };
  const n = m.length;
  const l = cholesky(gram(m, field), n);
  const across = labs.map((lab) => Float64Array.from(m, (p) => kernel(lab, p.lab, field)));
  const solved = across.map((k) => choleskySolve(l, n, k.slice()));
  const means = solved.map((x) => {
    const mean = [0, 0, 0];
    for (let i = 0; i < n; i++) for (let axis = 0; axis < 3; axis++) mean[axis] += x[i] * m[i].misfit[axis];
    return mean as unknown as Lab;
  });
  for (let a = 0; a < count; a++)
    for (let b = 0; b < count; b++) {
      let s = kernel(labs[a], labs[b], field);
      for (let i = 0; i < n; i++) s -= across[a][i] * solved[b][i];
      covariance[a * count + b] = s;
    }
  return { means, covariance };
}
