/**
 * What is known before the first panel is sprayed. All unknowns of the model are whitened by these: a solution of
 * zeros is the most ordinary paint shop.
 */
import { symmetricEigen } from '../math/linear.ts';
import { dyeLibrary } from './library.ts';
import { type Moments, momentsOf } from './moments.ts';
import { NODES, NODES_NM } from './node-grid.ts';

/** Settings of the priors, exported for the bench that judges them. */
export interface FilmPriors {
  /**
   * ln of a tint's absorbance, there and back, of one coat at the usual letdown: its mean over the spectrum, how much
   * of the scatter of the made-up dyes of the library it has, and the sd of its level. Its shape is the library's.
   */
  readonly tint: { mean: number; share: number; level: number };
  /** … of one kind of dye: how much it has of its own dyes' scatter and of all dyes', and the sd of its level. */
  readonly kinds: { share: number; ofAll: number; level: number };
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
  /** logit of the share of light thrown back under the surface (centre .5): sd of the shop's, then of each ground's own. */
  readonly inside: { sd: number; perGround: number };
  /** Light from the surface itself, cleared; and what an uncleared surface adds. */
  readonly surface: { centre: number; sd: number };
  readonly uncleared: { centre: number; sd: number };
  /** Light that one usual coat scatters back by itself. */
  readonly haze: { centre: number; sd: number };
  /** Huber's limit on the length of a panel's whitened residual. */
  readonly huber: number;
}

export const PRIORS: FilmPriors = {
  tint: { mean: -2.3, share: 0.6, level: 0.8 },
  kinds: { share: 0.7, ofAll: 0.03, level: 0.5 },
  ground: { level: 1.5, slope: 0.6, slopeOver_nm: 150, sd: 0.35, length_nm: 70 },
  hand: 0.062,
  misfit: 0.2,
  coats: 0.03,
  letdown: 0.06,
  spread: { centre: 0.03, sd: 0.9 },
  gap: { centre: 0.012, sd: 0.5, perGround: 0.4 },
  inside: { sd: 0.15, perGround: 0.15 },
  surface: { centre: 0.012, sd: 0.4 },
  uncleared: { centre: 0.015, sd: 0.6 },
  haze: { centre: 0.0015, sd: 0.8 },
  huber: 3,
};

/** A linear basis of a Gaussian prior: value(node) = mean(node) + Σ basis(node, k)·z_k with z standard normal. */
export interface Basis {
  /** NODES values. */
  readonly mean: Float64Array;
  readonly count: number;
  /** NODES × count, row-major. */
  readonly vectors: Float64Array;
}

/** Unknowns of a tint. */
export const TINT_UNKNOWNS = 9;

/** The first `count` principal directions of a covariance between nodes. */
function basisOf(mean: Float64Array, covariance: Float64Array, count: number): Basis {
  const { values, vectors: all } = symmetricEigen(covariance, NODES);
  const vectors = new Float64Array(NODES * count);
  for (let n = 0; n < NODES; n++)
    for (let k = 0; k < count; k++) vectors[n * count + k] = all[n * NODES + k] * Math.sqrt(values[k]);
  return { mean, count, vectors };
}

function covarianceOf(f: (a: number, b: number) => number): Float64Array {
  return Float64Array.from({ length: NODES * NODES }, (_, k) =>
    f(NODES_NM[Math.floor(k / NODES)], NODES_NM[k % NODES]),
  );
}

const bell = (a: number, b: number, length: number): number => Math.exp(-0.5 * ((a - b) / length) ** 2);

const tintBases = new WeakMap<FilmPriors, Basis>();
const groundBases = new WeakMap<FilmPriors, Basis>();

export function remembered<T>(kept: WeakMap<FilmPriors, T>, priors: FilmPriors, make: () => T): T {
  const known = kept.get(priors);
  if (known) return known;
  const made = make();
  kept.set(priors, made);
  return made;
}

/** Basis of a tint's ln absorbance. */
export const tintBasisOf = ({ mean, covariance }: Moments): Basis => basisOf(mean, covariance, TINT_UNKNOWNS);

/** What is known of a tint before its kind is: the scatter of all dyes. */
export function tintBasis(priors: FilmPriors): Basis {
  const { mean, share, level } = priors.tint;
  return remembered(tintBases, priors, () => {
    const library = momentsOf(dyeLibrary().map((dye) => dye.map(Math.log)));
    const middle = library.mean.reduce((a, b) => a + b, 0) / NODES;
    return tintBasisOf({
      mean: library.mean.map((v) => mean + v - middle),
      covariance: library.covariance.map((v) => share * v + level ** 2),
    });
  });
}

export function groundBasis(priors: FilmPriors): Basis {
  const { ground: g } = priors;
  const tilt = (nm: number): number => (g.slope * (nm - 550)) / g.slopeOver_nm;
  return remembered(groundBases, priors, () =>
    basisOf(
      new Float64Array(NODES),
      covarianceOf((a, b) => g.level ** 2 + tilt(a) * tilt(b) + g.sd ** 2 * bell(a, b, g.length_nm)),
      6,
    ),
  );
}
