/**
 * The film model: its unknowns, and what they stand for.
 *
 * Film amount s = N (N/N₀)^β ((1+c)/(1+c₀))^−(1+γ) (1+r₀)/(1+r) e^t for N coats, c parts carrier, r reducer;
 * absorbance A = s Σ fᵢ aᵢ; light of many paths passes (1 + vA)^(−1/v), which is e^−A for even paths (v → 0);
 * inner reflectance Ri = Rg ((1−φ) passed + φ) + h s (1 − e^−A)/A, where h is what the film scatters back by itself;
 * surface R = f + .96 (1−k2) Ri / (1 − k2 Ri) (`colour.ts`; derivatives in `derivatives.ts`).
 */
import type { WhiteName } from '../color/index.ts';
import { NODES } from './node-grid.ts';
import { type Basis, type FilmPriors, groundBasis, TINT_UNKNOWNS, tintBasis } from './priors.ts';
import type { Recipe } from './types.ts';

/** What is usual in a job: film amounts are relative to it. */
export interface Usual {
  readonly coats: number;
  readonly carrier: number;
  readonly reducer_pct: number;
}

/** A recipe in the model's own terms. */
export interface CompiledRecipe {
  readonly fractions: Float64Array;
  readonly ground: number;
  readonly coated: boolean;
  readonly clear: boolean;
  readonly lnCoats: number;
  readonly lnCoatsOverUsual: number;
  readonly lnCarrier: number;
  readonly lnReducer: number;
}

/** Physical values of one setting of the unknowns. */
export interface FilmState {
  /** tints × NODES: absorbance of one usual coat. */
  readonly absorbance: Float64Array;
  /** grounds × NODES: inner reflectance. */
  readonly ground: Float64Array;
  /** Per ground: light that never passed the film. */
  readonly gap: Float64Array;
  readonly beta: number;
  readonly gamma: number;
  readonly spread: number;
  /** Per ground: share of light thrown back under the surface. */
  readonly inside: Float64Array;
  readonly surface: number;
  readonly uncleared: number;
  /** Light that one usual coat scatters back by itself. */
  readonly haze: number;
}

/** Where each unknown lies in the whitened vector; the last three are the shared error of the target's photo. */
export interface FilmModel {
  readonly size: number;
  readonly tints: readonly string[];
  readonly grounds: readonly string[];
  readonly usual: Usual;
  readonly priors: FilmPriors;
  /** One a tint. */
  readonly tintBases: readonly Basis[];
  readonly groundBasis: Basis;
  readonly groundsAt: number;
  readonly sharedAt: number;
  readonly white: WhiteName;
}

/** Places of the unknowns that all panels share. */
export const AT = {
  beta: 0,
  gamma: 1,
  spread: 2,
  inside: 3,
  surface: 4,
  uncleared: 5,
  gap: 6,
  haze: 7,
} as const;
const GLOBALS = 8;
/** Unknowns of a ground besides its spectrum: its gap, and the light thrown back under the surface over it. */
const GROUND_OWN = 2;

export function filmModel(
  tints: readonly string[],
  grounds: readonly string[],
  usual: Usual,
  white: WhiteName,
  priors: FilmPriors,
): FilmModel {
  const tBasis = tintBasis(priors);
  const gBasis = groundBasis(priors);
  const groundsAt = GLOBALS + tints.length * TINT_UNKNOWNS;
  const sharedAt = groundsAt + grounds.length * (gBasis.count + GROUND_OWN);
  return {
    size: sharedAt + 3,
    tints,
    grounds,
    usual,
    priors,
    tintBases: tints.map(() => tBasis),
    groundBasis: gBasis,
    groundsAt,
    sharedAt,
    white,
  };
}

/** Index of a tint's first unknown. */
export const tintAt = (tint: number): number => GLOBALS + tint * TINT_UNKNOWNS;
/** Index of a ground's first unknown; after its spectrum come its gap and its inside. */
export const groundAt = (m: FilmModel, ground: number): number =>
  m.groundsAt + ground * (m.groundBasis.count + GROUND_OWN);

export function compileRecipe(m: FilmModel, r: Recipe): CompiledRecipe {
  const fractions = Float64Array.from(m.tints, (id) => r.parts[id] ?? 0);
  const total = fractions.reduce((a, b) => a + b, 0);
  const coated = r.coats > 0 && total > 0;
  if (coated) for (let i = 0; i < fractions.length; i++) fractions[i] /= total;
  return {
    fractions,
    ground: m.grounds.indexOf(r.ground),
    coated,
    clear: r.clear,
    lnCoats: coated ? Math.log(r.coats) : 0,
    lnCoatsOverUsual: coated ? Math.log(r.coats / m.usual.coats) : 0,
    lnCarrier: Math.log((1 + r.carrier) / (1 + m.usual.carrier)),
    lnReducer: Math.log((1 + r.reducer_pct / 100) / (1 + m.usual.reducer_pct / 100)),
  };
}

function expand(basis: Basis, x: Float64Array, at: number, out: Float64Array, row: number): void {
  const { count, vectors, mean } = basis;
  for (let n = 0; n < NODES; n++) {
    let sum = mean[n];
    for (let k = 0; k < count; k++) sum += vectors[n * count + k] * x[at + k];
    out[row * NODES + n] = sum;
  }
}

/** Physical values from whitened unknowns. */
export function filmState(m: FilmModel, x: Float64Array): FilmState {
  const p = m.priors;
  const absorbance = new Float64Array(m.tints.length * NODES);
  const ground = new Float64Array(m.grounds.length * NODES);
  for (let i = 0; i < m.tints.length; i++) expand(m.tintBases[i], x, tintAt(i), absorbance, i);
  for (let i = 0; i < absorbance.length; i++) absorbance[i] = Math.exp(absorbance[i]);
  const gap = new Float64Array(m.grounds.length);
  const inside = new Float64Array(m.grounds.length);
  for (let g = 0; g < m.grounds.length; g++) {
    expand(m.groundBasis, x, groundAt(m, g), ground, g);
    const own = groundAt(m, g) + m.groundBasis.count;
    gap[g] = Math.min(0.5, p.gap.centre * Math.exp(p.gap.sd * x[AT.gap] + p.gap.perGround * x[own]));
    inside[g] = 1 / (1 + Math.exp(-p.inside.sd * x[AT.inside] - p.inside.perGround * x[own + 1]));
  }
  for (let i = 0; i < ground.length; i++) ground[i] = 1 / (1 + Math.exp(-ground[i]));
  return {
    absorbance,
    ground,
    gap,
    beta: p.coats * x[AT.beta],
    gamma: p.letdown * x[AT.gamma],
    spread: p.spread.centre * Math.exp(p.spread.sd * x[AT.spread]),
    inside,
    surface: p.surface.centre * Math.exp(p.surface.sd * x[AT.surface]),
    uncleared: p.uncleared.centre * Math.exp(p.uncleared.sd * x[AT.uncleared]),
    haze: p.haze.centre * Math.exp(p.haze.sd * x[AT.haze]),
  };
}
