/**
 * What the card still shows: the misfit left at the card's own patches, smoothed over colour by a Gaussian
 * process and added to what is read. Phones bend colours in ways no response per channel explains. Its amplitude
 * is weighed by marginal likelihood, so that it vanishes where the fit is good.
 */
import type { Lab } from '../color/index.ts';
import { cholesky, choleskySolve, solveLower } from '../math/linear.ts';

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

/** A shape with what the misfits say under it. */
interface FittedShape extends Shape {
  /** Its posterior weight. */
  readonly weight: number;
  /** Lower Cholesky factor (n × n) of the misfits' covariance. */
  readonly factor: Float64Array;
  /** Covariance⁻¹ · misfits, one for each axis. */
  readonly pulls: readonly Float64Array[];
}

/** The process with its amplitude and length left open: shapes by their posterior weight. */
export interface ResidualField {
  readonly misfits: readonly PatchMisfit[];
  /** The likely ones, those that do nothing left out. */
  readonly shapes: readonly FittedShape[];
  /** Mean amplitude, Lab units: how strongly the photo bends colours. */
  readonly amplitude: number;
}

const AMPLITUDES = [0, 0.5, 1, 1.7, 2.6, 4, 6, 9];
const LENGTHS = [20, 30, 45];
const LIGHTNESS_WEIGHT = 0.6;
/** Print errors of like colours are alike as bends are; what both explain is not put down to the photo alone. */
const PRINT_LENGTH = 30;
/** Shapes less likely than this share of the whole are not followed. */
const NEGLIGIBLE = 0.02;

/** Correlation of the process at two colours. */
function likeness(a: Lab, b: Lab, length: number): number {
  const l = LIGHTNESS_WEIGHT * (a[0] - b[0]);
  const p = a[1] - b[1];
  const q = a[2] - b[2];
  return Math.exp(-0.5 * ((l * l + p * p + q * q) / (length * length)));
}

/** Correlations of n colours (n × n). */
function likenesses(m: readonly PatchMisfit[], length: number): Float64Array {
  const n = m.length;
  const k = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      k[i * n + j] = likeness(m[i].lab, m[j].lab, length);
      k[j * n + i] = k[i * n + j];
    }
  return k;
}

/** Covariance (n × n) of what the misfits hold besides the photo's bend. */
function besides(m: readonly PatchMisfit[]): Float64Array {
  const n = m.length;
  const k = likenesses(m, PRINT_LENGTH);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) k[i * n + j] *= m[i].print * m[j].print;
    k[i * n + i] += m[i].noise ** 2;
  }
  return k;
}

/** Weighs amplitudes and lengths by the marginal likelihood of the misfits, the three axes together. */
export function fitResidualField(misfits: readonly PatchMisfit[]): ResidualField {
  const other = besides(misfits);
  const axes = [0, 1, 2].map((axis) => Float64Array.from(misfits, (p) => p.misfit[axis]));
  const tried = LENGTHS.flatMap((length, first) => {
    const alike = likenesses(misfits, length);
    // without amplitude there is no length
    const amplitudes = first === 0 ? AMPLITUDES : AMPLITUDES.slice(1);
    return amplitudes.map((amplitude) => {
      const square = amplitude * amplitude;
      const solved = solve(
        alike.map((k, i) => square * k + other[i]),
        axes,
      );
      const prior = amplitude === 0 ? Math.log(LENGTHS.length) : 0;
      return { amplitude, length, ...solved, score: prior + solved.logLikelihood };
    });
  });
  const best = Math.max(...tried.map((t) => t.score));
  const likely = tried
    .map(({ amplitude, length, factor, pulls, score }) => {
      return { amplitude, length, factor, pulls, weight: Math.exp(score - best) };
    })
    .filter((t) => t.weight > NEGLIGIBLE);
  const total = likely.reduce((s, t) => s + t.weight, 0);
  const shapes = likely.map((t) => ({ ...t, weight: t.weight / total }));
  return {
    misfits,
    shapes: misfits.length > 0 ? shapes.filter((t) => t.amplitude > 0) : [],
    amplitude: shapes.reduce((s, t) => s + t.weight * t.amplitude, 0),
  };
}

function solve(
  covariance: Float64Array,
  axes: readonly Float64Array[],
): Pick<FittedShape, 'factor' | 'pulls'> & { logLikelihood: number } {
  const n = axes[0].length;
  const factor = cholesky(covariance, n);
  const pulls = axes.map((d) => choleskySolve(factor, n, d.slice()));
  let logLikelihood = 0;
  for (let i = 0; i < n; i++) {
    logLikelihood -= 3 * Math.log(factor[i * n + i]);
    for (let axis = 0; axis < 3; axis++) logLikelihood -= 0.5 * axes[axis][i] * pulls[axis][i];
  }
  return { factor, pulls, logLikelihood };
}

/** The mean of what to add to a colour as read. */
export function meanMisfit({ misfits, shapes }: ResidualField, lab: Lab): Lab {
  const mean: [number, number, number] = [0, 0, 0];
  for (const shape of shapes) addPulled(mean, misfits, shape, shape.pulls, lab);
  return mean;
}

/** The same from the misfits of all patches but those of one name. */
export function meanMisfitWithout({ misfits, shapes }: ResidualField, id: string, lab: Lab): Lab {
  const out = misfits.flatMap((m, i) => (m.id === id ? [i] : []));
  const mean: [number, number, number] = [0, 0, 0];
  for (const shape of shapes) addPulled(mean, misfits, shape, pullsWithout(shape, out), lab);
  return mean;
}

function addPulled(
  mean: [number, number, number],
  misfits: readonly PatchMisfit[],
  { amplitude, length, weight }: FittedShape,
  [l, a, b]: readonly Float64Array[],
  lab: Lab,
): void {
  const size = weight * amplitude * amplitude;
  for (let i = 0; i < misfits.length; i++) {
    const k = size * likeness(lab, misfits[i].lab, length);
    mean[0] += k * l[i];
    mean[1] += k * a[i];
    mean[2] += k * b[i];
  }
}

/**
 * What is left of the pulls when the misfits `out` are taken out of the data. With P the inverse of the covariance of all,
 * that of the others is P less its columns of `out` times the inverse of their own block times those columns again.
 */
function pullsWithout({ factor, pulls }: FittedShape, out: readonly number[]): readonly Float64Array[] {
  const n = pulls[0].length;
  const k = out.length;
  const columns = out.map((i) => {
    const unit = new Float64Array(n);
    unit[i] = 1;
    return choleskySolve(factor, n, unit);
  });
  const own = cholesky(
    Float64Array.from({ length: k * k }, (_, at) => columns[at % k][out[(at - (at % k)) / k]]),
    k,
  );
  return pulls.map((pull) => {
    const share = choleskySolve(
      own,
      k,
      Float64Array.from(out, (i) => pull[i]),
    );
    const left = pull.slice();
    for (let c = 0; c < k; c++) for (let i = 0; i < n; i++) left[i] -= share[c] * columns[c][i];
    // nothing is left of those taken out but rounding
    for (const i of out) left[i] = 0;
    return left;
  });
}

/** Posterior of the residual field at several colours: means, and the n × n covariance shared by the axes. */
export function predictMisfits(
  field: ResidualField,
  labs: readonly Lab[],
): { means: Lab[]; covariance: Float64Array } {
  const covariance = new Float64Array(labs.length ** 2);
  for (const shape of field.shapes) addCovariance(covariance, field.misfits, shape, labs);
  return { means: labs.map((lab) => meanMisfit(field, lab)), covariance };
}

function addCovariance(
  covariance: Float64Array,
  misfits: readonly PatchMisfit[],
  { amplitude, length, weight, factor }: FittedShape,
  labs: readonly Lab[],
): void {
  const count = labs.length;
  const n = misfits.length;
  const square = amplitude * amplitude;
  const across = labs.map((lab) => {
    const k = new Float64Array(n);
    for (let i = 0; i < n; i++) k[i] = square * likeness(lab, misfits[i].lab, length);
    return solveLower(factor, n, k);
  });
  for (let a = 0; a < count; a++)
    for (let b = 0; b <= a; b++) {
      let s = square * likeness(labs[a], labs[b], length);
      for (let i = 0; i < n; i++) s -= across[a][i] * across[b][i];
      covariance[a * count + b] += weight * s;
      if (a !== b) covariance[b * count + a] += weight * s;
    }
}
