/**
 * The film model: from the unknowns of a paint shop and a recipe to a colour, with derivatives.
 *
 * Film amount s = N (N/N₀)^β ((1+c)/(1+c₀))^−(1+γ) (1+r₀)/(1+r) e^t for N coats, c parts carrier, r reducer;
 * absorbance A = s Σ fᵢ aᵢ; light of many paths passes (1 + vA)^(−1/v), which is e^−A for even paths (v → 0);
 * inner reflectance Ri = Rg ((1−φ) passed + φ); surface R = f + .96 (1−k2) Ri / (1 − k2 Ri).
 */
import type { Lab, WhiteName } from '../color/index.ts';
import { NODES } from './node-grid.ts';
import { labOfNodes, nodeViewing } from './nodes.ts';
import { type Basis, type FilmPriors, groundBasis, tintBasis } from './priors.ts';
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
  readonly inside: number;
  readonly surface: number;
  readonly uncleared: number;
}

/** Where each unknown lies in the whitened vector; the last three are the shared error of the target's photo. */
export interface FilmModel {
  readonly size: number;
  readonly tints: readonly string[];
  readonly grounds: readonly string[];
  readonly usual: Usual;
  readonly priors: FilmPriors;
  readonly tintBasis: Basis;
  readonly groundBasis: Basis;
  readonly groundsAt: number;
  readonly sharedAt: number;
  readonly white: WhiteName;
}

const SURFACE_PASSES = 0.96;
const GLOBALS = 7;
const [BETA, GAMMA, SPREAD, INSIDE, SURFACE, UNCLEARED, GAP] = [0, 1, 2, 3, 4, 5, 6];

export function filmModel(
  tints: readonly string[],
  grounds: readonly string[],
  usual: Usual,
  white: WhiteName,
  priors: FilmPriors,
): FilmModel {
  const tBasis = tintBasis(priors);
  const gBasis = groundBasis(priors);
  const groundsAt = GLOBALS + tints.length * tBasis.count;
  const sharedAt = groundsAt + grounds.length * (gBasis.count + 1);
  return {
    size: sharedAt + 3,
    tints,
    grounds,
    usual,
    priors,
    tintBasis: tBasis,
    groundBasis: gBasis,
    groundsAt,
    sharedAt,
    white,
  };
}

/** Index of a tint's first unknown. */
export const tintAt = (m: FilmModel, tint: number): number => GLOBALS + tint * m.tintBasis.count;
/** Index of a ground's first unknown; the last of its unknowns is its gap. */
export const groundAt = (m: FilmModel, ground: number): number =>
  m.groundsAt + ground * (m.groundBasis.count + 1);

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
    let sum = mean;
    for (let k = 0; k < count; k++) sum += vectors[n * count + k] * x[at + k];
    out[row * NODES + n] = sum;
  }
}

/** Physical values from whitened unknowns. */
export function filmState(m: FilmModel, x: Float64Array): FilmState {
  const p = m.priors;
  const absorbance = new Float64Array(m.tints.length * NODES);
  const ground = new Float64Array(m.grounds.length * NODES);
  for (let i = 0; i < m.tints.length; i++) expand(m.tintBasis, x, tintAt(m, i), absorbance, i);
  for (let i = 0; i < absorbance.length; i++) absorbance[i] = Math.exp(absorbance[i]);
  const gap = new Float64Array(m.grounds.length);
  for (let g = 0; g < m.grounds.length; g++) {
    expand(m.groundBasis, x, groundAt(m, g), ground, g);
    const own = x[groundAt(m, g) + m.groundBasis.count];
    gap[g] = Math.min(0.5, p.gap.centre * Math.exp(p.gap.sd * x[GAP] + p.gap.perGround * own));
  }
  for (let i = 0; i < ground.length; i++) ground[i] = 1 / (1 + Math.exp(-ground[i]));
  return {
    absorbance,
    ground,
    gap,
    beta: p.coats * x[BETA],
    gamma: p.letdown * x[GAMMA],
    spread: p.spread.centre * Math.exp(p.spread.sd * x[SPREAD]),
    inside: 1 / (1 + Math.exp(-p.inside * x[INSIDE])),
    surface: p.surface.centre * Math.exp(p.surface.sd * x[SURFACE]),
    uncleared: p.uncleared.centre * Math.exp(p.uncleared.sd * x[UNCLEARED]),
  };
}

/** Film amount in usual coats; `hand` is this panel's own ln amount. */
export function filmAmount(s: FilmState, r: CompiledRecipe, hand = 0): number {
  if (!r.coated) return 0;
  return Math.exp(r.lnCoats + s.beta * r.lnCoatsOverUsual - (1 + s.gamma) * r.lnCarrier - r.lnReducer + hand);
}

const scratch = new Float64Array(NODES);

/** Colour of a recipe. `hand` is the panel's own ln film amount (0: an even hand). */
export function filmColour(m: FilmModel, s: FilmState, r: CompiledRecipe, hand = 0): Lab {
  const a = mixAbsorbance(m, s, r.fractions);
  return colourThrough(m, s, a, filmAmount(s, r, hand), r.ground, r.clear);
}

/** Absorbance of one usual coat of a mix, NODES values, in an array that the next call overwrites unless given one. */
export function mixAbsorbance(
  m: FilmModel,
  s: FilmState,
  fractions: Float64Array,
  out: Float64Array = mixed,
): Float64Array {
  out.fill(0);
  for (let i = 0; i < m.tints.length; i++) {
    const f = fractions[i];
    if (f === 0) continue;
    for (let n = 0; n < NODES; n++) out[n] += f * s.absorbance[i * NODES + n];
  }
  return out;
}

const mixed = new Float64Array(NODES);

/** Colour of so many usual coats (0: the bare ground) of an absorbance over a ground. */
export function colourThrough(
  m: FilmModel,
  s: FilmState,
  absorbance: Float64Array,
  amount: number,
  ground: number,
  clear: boolean,
): Lab {
  const f = s.surface + (clear ? 0 : s.uncleared);
  const gap = amount > 0 ? s.gap[ground] : 0;
  const power = -1 / s.spread;
  const k2 = s.inside;
  const enters = SURFACE_PASSES * (1 - k2);
  for (let n = 0; n < NODES; n++) {
    const passed = Math.exp(power * Math.log1p(s.spread * amount * absorbance[n]));
    const inner = s.ground[ground * NODES + n] * ((1 - gap) * passed + gap);
    scratch[n] = f + (enters * inner) / (1 - k2 * inner);
  }
  return labOfNodes(scratch, nodeViewing(m.white));
}

const dLab = new Float64Array(3 * NODES);
const byAbsorbance = new Float64Array(3 * NODES);
const passes = new Float64Array(NODES);
const inner = new Float64Array(NODES);
const byInner = new Float64Array(NODES);

/**
 * Colour and its derivatives: `jacobian` (3 × size, row-major) by the unknowns, `byHand` (3) by the panel's own ln
 * film amount. Both are overwritten.
 */
export function filmDerivatives(
  m: FilmModel,
  s: FilmState,
  r: CompiledRecipe,
  hand: number,
  jacobian: Float64Array,
  byHand: Float64Array,
): Lab {
  const p = m.priors;
  const { size } = m;
  const k2 = s.inside;
  const amount = filmAmount(s, r, hand);
  const f = s.surface + (r.clear ? 0 : s.uncleared);
  const phi = r.coated ? s.gap[r.ground] : 0;
  const v = s.spread;
  const a = mixAbsorbance(m, s, r.fractions);
  for (let n = 0; n < NODES; n++) {
    a[n] *= amount;
    passes[n] = 1;
    if (r.coated) passes[n] = Math.exp((-1 / v) * Math.log1p(v * a[n]));
    inner[n] = s.ground[r.ground * NODES + n] * ((1 - phi) * passes[n] + phi);
    const d = 1 - k2 * inner[n];
    scratch[n] = f + (SURFACE_PASSES * (1 - k2) * inner[n]) / d;
    byInner[n] = (SURFACE_PASSES * (1 - k2)) / (d * d);
  }
  const lab = labOfNodes(scratch, nodeViewing(m.white), dLab);
  jacobian.fill(0);
  const gCount = m.groundBasis.count;
  const tCount = m.tintBasis.count;
  const gAt = groundAt(m, r.ground);
  for (let c = 0; c < 3; c++) {
    const row = c * size;
    let bySpread = 0;
    let byInside = 0;
    let byGap = 0;
    let byAmount = 0;
    let bySurface = 0;
    for (let n = 0; n < NODES; n++) {
      const d = dLab[c * NODES + n];
      const rg = s.ground[r.ground * NODES + n];
      const toInner = d * byInner[n];
      const one = 1 - k2 * inner[n];
      bySurface += d;
      byInside += (d * SURFACE_PASSES * inner[n] * (inner[n] - 1)) / (one * one);
      byGap += toInner * rg * (1 - passes[n]);
      const toPassed = toInner * rg * (1 - phi);
      const q = 1 + v * a[n];
      const toAbsorbance = r.coated ? (-toPassed * passes[n]) / q : 0;
      byAbsorbance[c * NODES + n] = toAbsorbance;
      byAmount += toAbsorbance * a[n];
      if (r.coated) bySpread += toPassed * passes[n] * (Math.log(q) / v - a[n] / q);
      // logit of the ground
      const toGround = toInner * inner[n] * (1 - rg);
      for (let k = 0; k < gCount; k++)
        jacobian[row + gAt + k] += toGround * m.groundBasis.vectors[n * gCount + k];
    }
    byHand[c] = byAmount;
    jacobian[row + BETA] = byAmount * r.lnCoatsOverUsual * p.coats;
    jacobian[row + GAMMA] = -byAmount * r.lnCarrier * p.letdown;
    jacobian[row + SPREAD] = bySpread * p.spread.sd;
    jacobian[row + INSIDE] = byInside * k2 * (1 - k2) * p.inside;
    jacobian[row + SURFACE] = bySurface * s.surface * p.surface.sd;
    if (!r.clear) jacobian[row + UNCLEARED] = bySurface * s.uncleared * p.uncleared.sd;
    if (r.coated) {
      jacobian[row + GAP] = byGap * phi * p.gap.sd;
      jacobian[row + gAt + gCount] = byGap * phi * p.gap.perGround;
    }
    for (let i = 0; i < r.fractions.length; i++) {
      if (r.fractions[i] === 0) continue;
      const at = row + tintAt(m, i);
      const share = amount * r.fractions[i];
      for (let n = 0; n < NODES; n++) {
        const toLog = byAbsorbance[c * NODES + n] * share * s.absorbance[i * NODES + n];
        for (let k = 0; k < tCount; k++) jacobian[at + k] += toLog * m.tintBasis.vectors[n * tCount + k];
      }
    }
  }
  return lab;
}
