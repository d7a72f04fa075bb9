/** Which panels disagree with the rest: each doubtful one is judged by a fit that has not seen it. */
import { deltaE2000, type Lab } from '../color/index.ts';
import { invert3, type Mat3, solveLower } from '../math/linear.ts';
import { filmDerivatives } from './derivatives.ts';
import { atLeast } from './frame.ts';
import { type FilmModel, type FilmState, filmState } from './model.ts';
import { without as leaving, type Observation, type ObservationGroup } from './observe.ts';
import { type Fitted, posteriorFactor, type Solution, solve, startAt } from './solve.ts';

/**
 * Squared distance of a panel from what the others predict, in units of what hand, measuring and the fit allow, from
 * which it is named. The more panels, the more chances for a sound one to lie far out; set on simulated shops so
 * that 2 to 3 % of sound jobs have a panel named.
 */
function namedFrom(panels: number): number {
  return Math.min(26, 11.8 + 0.87 * Math.max(0, panels - 9));
}
/** … and it must be far enough off to matter, ΔE2000. */
const NAMED_DE00 = 2.5;
/** Panels worth a fit of their own: those at least this far off as the fit stands, the worst few of them. */
const DOUBTFUL = 4;
const QUESTIONED = 6;
/** A bare ground is harder to enter wrongly than a sprayed panel: it is blamed when it explains this much more. */
const BARE_HANDICAP = 10;
/** Two panels that explain nearly the same are both named: one of them is wrong, and nobody can say which. */
const EITHER = 0.75;

export interface Suspicion {
  readonly index: number;
  /** ΔE2000 from what the other panels say of its recipe. */
  readonly de00_alone: number;
  readonly suspect: boolean;
  /** Squared distance from what the others predict, in units of what hand, measuring and fit allow. */
  readonly distance: number;
}

/** Judges the doubtful panels of a fit; `index` counts the observations in their order. */
export function suspicions({ model, groups, solution }: Fitted): Suspicion[] {
  const out: Suspicion[] = [];
  let left = [...groups];
  let fit = solution;
  const indexOf = new Map(groups.flatMap((g) => g.observations).map((o, i) => [o, i]));
  // more than a quarter of the panels wrong is not something to find out this way
  const limit = Math.max(1, Math.floor(indexOf.size / 4));
  for (let round = 0; round < limit; round++) {
    const doubts = doubtsOf(model, left, fit);
    if (doubts.length === 0) break;
    const named = doubts.filter((d) => d.distance > namedFrom(indexOf.size) && d.de00 > NAMED_DE00);
    const suspects = named.filter((d) => d.explains >= EITHER * named[0].explains);
    for (const d of suspects.length > 0 ? suspects : doubts.slice(0, 1))
      out.push({
        index: indexOf.get(d.observation) ?? -1,
        de00_alone: d.de00,
        suspect: suspects.length > 0,
        distance: d.distance,
      });
    if (suspects.length !== 1) break;
    left = suspects[0].without;
    fit = suspects[0].fit;
  }
  return out;
}

interface Doubt {
  readonly observation: Observation;
  readonly distance: number;
  readonly de00: number;
  /** How much the objective falls without it. */
  readonly explains: number;
  readonly fit: Solution;
  readonly without: ObservationGroup[];
}

/** The doubtful panels, each with a fit without it; first the one whose leaving brings the others together most. */
function doubtsOf(model: FilmModel, groups: ObservationGroup[], solution: Solution): Doubt[] {
  const factor = posteriorFactor(model, groups, solution);
  const state = filmState(model, solution.x);
  return groups
    .flatMap((g) => g.observations)
    .map((o) => ({ o, off: distanceInside(model, state, factor, o) }))
    .filter(({ off }) => off > DOUBTFUL)
    .sort((a, b) => b.off - a.off)
    .slice(0, QUESTIONED)
    .map(({ o }) => {
      const without = leaving(groups, o);
      const fit = solve(model, without, startAt(without, solution.x));
      const explains = solution.objective - fit.objective - (o.recipe.coated ? 0 : BARE_HANDICAP);
      return { observation: o, ...distanceOutside(model, without, fit, o), explains, fit, without };
    })
    .sort((a, b) => b.explains - a.explains);
}

/** 3 × 3 covariance, in the panel's whitened frame, of what the unknowns leave open (J Σ Jᵀ). */
function openness(
  model: FilmModel,
  factor: Float64Array,
  { toUnit: u }: Observation,
  jacobian: Float64Array,
): Mat3 {
  const n = model.size;
  const rows = [0, 1, 2].map((c) => {
    const row = new Float64Array(n);
    for (let j = 0; j < n; j++)
      row[j] = u[3 * c] * jacobian[j] + u[3 * c + 1] * jacobian[n + j] + u[3 * c + 2] * jacobian[2 * n + j];
    return solveLower(factor, n, row);
  });
  const out = new Array<number>(9);
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++) out[3 * i + j] = rows[i].reduce((sum, v, k) => sum + v * rows[j][k], 0);
  return out as unknown as Mat3;
}

interface Judged {
  readonly off: readonly number[];
  /** Measuring, misfit and hand in the whitened frame. */
  readonly scatter: number[];
  readonly open: Mat3;
  readonly lab: Lab;
}

function judge(model: FilmModel, state: FilmState, factor: Float64Array, o: Observation): Judged {
  const jacobian = new Float64Array(3 * model.size);
  const byHand = new Float64Array(3);
  const lab = filmDerivatives(model, state, o.recipe, 0, jacobian, byHand);
  const { toUnit: u, sharedUnit: q } = o;
  const d = lab.map((v, c) => v - o.panel.reading.lab[c]);
  const times = (v: ArrayLike<number>): number[] =>
    [0, 1, 2].map((c) => u[3 * c] * v[0] + u[3 * c + 1] * v[1] + u[3 * c + 2] * v[2]);
  const hand = times(byHand).map((v) => model.priors.hand * v);
  const scatter = [1, 0, 0, 0, 1, 0, 0, 0, 1];
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++) {
      scatter[3 * i + j] += hand[i] * hand[j];
      if (q) for (let k = 0; k < 3; k++) scatter[3 * i + j] += q[3 * i + k] * q[3 * j + k];
    }
  return { off: times(d), scatter, open: openness(model, factor, o, jacobian), lab };
}

function quadratic(m: readonly number[], v: readonly number[]): number {
  const inverse = invert3(m as unknown as Mat3);
  let sum = 0;
  for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) sum += v[i] * inverse[3 * i + j] * v[j];
  return sum;
}

/** As a leave-one-out residual from a fit that has seen the panel (linear, so a first sieve only). */
function distanceInside(model: FilmModel, state: FilmState, factor: Float64Array, o: Observation): number {
  const { off, scatter, open } = judge(model, state, factor, o);
  // a panel that the fit bends to keeps little of its scatter; the floor keeps the matrix invertible
  const left = atLeast(scatter.map((v, i) => v - open[i]) as unknown as Mat3, 0.15);
  return quadratic(left, off);
}

function distanceOutside(
  model: FilmModel,
  groups: readonly ObservationGroup[],
  fit: Solution,
  o: Observation,
): { distance: number; de00: number } {
  const factor = posteriorFactor(model, groups, fit);
  const state = filmState(model, fit.x);
  const { off, scatter, open, lab } = judge(model, state, factor, o);
  return {
    distance: quadratic(
      scatter.map((v, i) => v + open[i]),
      off,
    ),
    de00: deltaE2000(lab, o.panel.reading.lab),
  };
}
