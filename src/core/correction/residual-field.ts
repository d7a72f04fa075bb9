/**
 * What the card still shows: the misfit left at the card's own patches, smoothed over colour by a Gaussian
 * process and added to what is read. Phones bend colours in ways no response per channel explains. Its amplitude
 * is weighed by marginal likelihood, so that it vanishes where the fit is good.
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
  /** Standard deviation per axis of the print's own error as far as like colours share it, Lab units. */
  readonly print: number;
}

/** One amplitude and length of the process. */
interface Shape {
  readonly amplitude: number;
  readonly length: number;
}

/** The process with its amplitude and length left open: shapes by their posterior weight. */
export interface ResidualField {
  readonly shapes: readonly (Shape & { readonly weight: number })[];
  /** Mean amplitude, Lab units: how strongly the photo bends colours. */
  readonly amplitude: number;
}

const AMPLITUDES = [0, 0.5, 1, 1.7, 2.6, 4, 6, 9];
const LENGTHS = [20, 30, 45];
const LIGHTNESS_WEIGHT = 0.6;
/** Print errors of like colours are alike as bends are; what both explain is not put down to the photo alone. */
const PRINT_SHAPE: Shape = { amplitude: 1, length: 30 };
/** Shapes less likely than this share of the whole are not followed. */
const NEGLIGIBLE = 0.02;

function kernel(a: Lab, b: Lab, { amplitude, length }: Shape): number {
  const l = LIGHTNESS_WEIGHT * (a[0] - b[0]);
  const d2 = l * l + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2;
  return amplitude * amplitude * Math.exp(-0.5 * (d2 / (length * length)));
}

function gram(m: readonly PatchMisfit[], shape: Shape): Float64Array {
  const n = m.length;
  const k = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      k[i * n + j] =
        kernel(m[i].lab, m[j].lab, shape) + m[i].print * m[j].print * kernel(m[i].lab, m[j].lab, PRINT_SHAPE);
      k[j * n + i] = k[i * n + j];
    }
    k[i * n + i] += m[i].noise ** 2;
  }
  return k;
}

/** Weighs amplitudes and lengths by the marginal likelihood of the misfits, the three axes together. */
export function fitResidualField(misfits: readonly PatchMisfit[]): ResidualField {
  const tried = AMPLITUDES.flatMap((amplitude) =>
    (amplitude === 0 ? [LENGTHS[0]] : LENGTHS).map((length) => {
      const prior = amplitude === 0 ? Math.log(LENGTHS.length) : 0;
      return { amplitude, length, score: prior + logLikelihood(misfits, { amplitude, length }) };
    }),
  );
  const best = Math.max(...tried.map((t) => t.score));
  const likely = tried
    .map(({ score, ...shape }) => ({ ...shape, weight: Math.exp(score - best) }))
    .filter((t) => t.weight > NEGLIGIBLE);
  const total = likely.reduce((s, t) => s + t.weight, 0);
  const shapes = likely.map((t) => ({ ...t, weight: t.weight / total }));
  return { shapes, amplitude: shapes.reduce((s, t) => s + t.weight * t.amplitude, 0) };
}

function logLikelihood(m: readonly PatchMisfit[], shape: Shape): number {
  const n = m.length;
  if (n === 0) return 0;
  const l = cholesky(gram(m, shape), n);
  let sum = 0;
  for (let i = 0; i < n; i++) sum -= 3 * Math.log(l[i * n + i]);
  for (let axis = 0; axis < 3; axis++) {
    const d = Float64Array.from(m, (p) => p.misfit[axis]);
    const x = choleskySolve(l, n, d.slice());
    for (let i = 0; i < n; i++) sum -= 0.5 * d[i] * x[i];
  }
  return sum;
}

/** The mean of what to add to colours as read; the patches' side of it is solved once for all of them. */
export function meanMisfitOf(field: ResidualField, m: readonly PatchMisfit[]): (lab: Lab) => Lab {
  const n = m.length;
  const pulls = field.shapes
    .filter((shape) => shape.amplitude > 0 && n > 0)
    .map((shape) => {
      const l = cholesky(gram(m, shape), n);
      const axes = [0, 1, 2].map((axis) =>
        choleskySolve(
          l,
          n,
          Float64Array.from(m, (p) => p.misfit[axis]),
        ),
      );
      return { shape, axes };
    });
  return (lab) => {
    const mean: [number, number, number] = [0, 0, 0];
    for (const { shape, axes } of pulls)
      for (let i = 0; i < n; i++) {
        const k = shape.weight * kernel(lab, m[i].lab, shape);
        for (let axis = 0; axis < 3; axis++) mean[axis] += k * axes[axis][i];
      }
    return mean;
  };
}

/** Posterior of the residual field at several colours: means, and the n × n covariance shared by the axes. */
export function predictMisfits(
  field: ResidualField,
  m: readonly PatchMisfit[],
  labs: readonly Lab[],
): { means: Lab[]; covariance: Float64Array } {
  const count = labs.length;
  const covariance = new Float64Array(count * count);
  const means = labs.map(() => [0, 0, 0] as [number, number, number]);
  for (const shape of field.shapes) {
    if (shape.amplitude === 0 || m.length === 0) continue;
    const one = predictWith(shape, m, labs);
    one.means.forEach((mean, p) => {
      for (let axis = 0; axis < 3; axis++) means[p][axis] += shape.weight * mean[axis];
    });
    for (let i = 0; i < covariance.length; i++) covariance[i] += shape.weight * one.covariance[i];
  }
  return { means, covariance };
}

function predictWith(
  shape: Shape,
  m: readonly PatchMisfit[],
  labs: readonly Lab[],
): { means: number[][]; covariance: Float64Array } {
  const count = labs.length;
  const n = m.length;
  const l = cholesky(gram(m, shape), n);
  const across = labs.map((lab) => Float64Array.from(m, (p) => kernel(lab, p.lab, shape)));
  const solved = across.map((k) => choleskySolve(l, n, k.slice()));
  const means = solved.map((x) => {
    const mean = [0, 0, 0];
    for (let i = 0; i < n; i++) for (let axis = 0; axis < 3; axis++) mean[axis] += x[i] * m[i].misfit[axis];
    return mean;
  });
  const covariance = new Float64Array(count * count);
  for (let a = 0; a < count; a++)
    for (let b = 0; b < count; b++) {
      let s = kernel(labs[a], labs[b], shape);
      for (let i = 0; i < n; i++) s -= across[a][i] * solved[b][i];
      covariance[a * count + b] = s;
    }
  return { means, covariance };
}
