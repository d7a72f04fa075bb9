/**
 * What is known before the first panel is sprayed. All unknowns of the model are whitened by these: a solution of
 * zeros is the most ordinary paint shop.
 */
import { symmetricEigen } from '../math/linear.ts';
import { dyeLibrary } from './library.ts';
import { NODES, NODES_NM } from './node-grid.ts';

/** Settings of the priors, exported for the bench that judges them. */
export interface FilmPriors {
  /**
   * ln of a tint's absorbance, there and back, of one coat at the usual letdown: its mean, how much of the scatter of
   * the made-up dyes of the library it has, and the sd of its level.
   */
  readonly tint: { mean: number; share: number; level: number };
  /** logit of a ground's inner reflectance. */
  readonly ground: { level: number; slope: number; slopeOver_nm: number; sd: number; length_nm: number };
  /** A panel's own gun hand: standard deviation of ln film amount. */
  readonly hand: number;
  /** What the physics leaves out, as a root-mean-square ΔE2000 of each panel. */
  readonly misfit: number;
  /** Film grows as coats^(1+β) and thins as (1+carrier)^−(1+γ): standard deviations of β and γ. */
  readonly coats: number;
  readonly letdown: number;
  /** Relative variance of the path length through the film: centre and sd of its logarithm. */
  readonly spread: { centre: number; sd: number };
  /** Share of light that never passed the film: the shop's level, then each ground's own. */
  readonly gap: { centre: number; sd: number; perGround: number };
  /** logit sd of the share of light thrown back under the surface (centre .5). */
  readonly inside: number;
  /** Light from the surface itself, cleared; and what an uncleared surface adds. */
  readonly surface: { centre: number; sd: number };
  readonly uncleared: { centre: number; sd: number };
  /** Huber's limit on the length of a panel's whitened residual. */
  readonly huber: number;
}

export const PRIORS: FilmPriors = {
  tint: { mean: -2.2, share: 0.6, level: 0.8 },
  ground: { level: 1.5, slope: 0.6, slopeOver_nm: 150, sd: 0.35, length_nm: 70 },
  hand: 0.062,
  misfit: 0.2,
  coats: 0.03,
  letdown: 0.06,
  spread: { centre: 0.03, sd: 0.9 },
  gap: { centre: 0.012, sd: 0.5, perGround: 0.4 },
  inside: 0.2,
  surface: { centre: 0.012, sd: 0.4 },
  uncleared: { centre: 0.015, sd: 0.6 },
  huber: 3,
};

/** A linear basis of a Gaussian prior: value(node) = mean + Σ basis(node, k)·z_k with z standard normal. */
export interface Basis {
  readonly mean: number;
  readonly count: number;
  /** NODES × count, row-major. */
  readonly vectors: Float64Array;
  /** count × NODES: the z that comes nearest to given values less the mean. */
  readonly inverse: Float64Array;
}

function basisOf(mean: number, c: Float64Array, count: number): Basis {
  const eigen = symmetricEigen(c, NODES);
  const vectors = new Float64Array(NODES * count);
  const inverse = new Float64Array(count * NODES);
  for (let k = 0; k < count; k++) {
    const root = Math.sqrt(eigen.values[k]);
    for (let n = 0; n < NODES; n++) {
      const v = eigen.vectors[n * NODES + k];
      vectors[n * count + k] = v * root;
      inverse[k * NODES + n] = v / root;
    }
  }
  return { mean, count, vectors, inverse };
}

function covarianceOf(f: (a: number, b: number) => number): Float64Array {
  return Float64Array.from({ length: NODES * NODES }, (_, k) =>
    f(NODES_NM[Math.floor(k / NODES)], NODES_NM[k % NODES]),
  );
}

/** Covariance of the logarithms of the library's absorbances between nodes. */
function libraryCovariance(): Float64Array {
  const logs = dyeLibrary().map(Math.log);
  const dyes = logs.length / NODES;
  const means = new Float64Array(NODES);
  logs.forEach((v, i) => {
    means[i % NODES] += v / dyes;
  });
  const c = new Float64Array(NODES * NODES);
  for (let d = 0; d < dyes; d++)
    for (let i = 0; i < NODES; i++)
      for (let j = 0; j < NODES; j++)
        c[i * NODES + j] += ((logs[d * NODES + i] - means[i]) * (logs[d * NODES + j] - means[j])) / dyes;
  return c;
}

const bell = (a: number, b: number, length: number): number => Math.exp(-0.5 * ((a - b) / length) ** 2);

const tintBases = new WeakMap<FilmPriors, Basis>();
const groundBases = new WeakMap<FilmPriors, Basis>();

function remembered(kept: WeakMap<FilmPriors, Basis>, priors: FilmPriors, make: () => Basis): Basis {
  const known = kept.get(priors);
  if (known) return known;
  const made = make();
  kept.set(priors, made);
  return made;
}

export function tintBasis(priors: FilmPriors): Basis {
  const { mean, share, level } = priors.tint;
  return remembered(tintBases, priors, () =>
    basisOf(
      mean,
      libraryCovariance().map((v) => share * v + level ** 2),
      9,
    ),
  );
}

export function groundBasis(priors: FilmPriors): Basis {
  const { ground: g } = priors;
  const tilt = (nm: number): number => (g.slope * (nm - 550)) / g.slopeOver_nm;
  return remembered(groundBases, priors, () =>
    basisOf(
      0,
      covarianceOf((a, b) => g.level ** 2 + tilt(a) * tilt(b) + g.sd ** 2 * bell(a, b, g.length_nm)),
      6,
    ),
  );
}
