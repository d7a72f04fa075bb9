/**
 * The fit's normal equations. Each panel's gun hand and each photo's shared error are eliminated where they arise
 * (Schur complements), so that what is left is on the model's unknowns alone and cost is linear in panels and photos.
 */
import { filmColour } from './colour.ts';
import { filmDerivatives } from './derivatives.ts';
import { type FilmModel, type FilmState, filmState } from './model.ts';
import type { Observation, ObservationGroup } from './observe.ts';
import { huber, writeResidual } from './residual.ts';
import { eliminateHand, factor3, forward3 } from './three-rows.ts';
import type { Unknowns } from './unknowns.ts';

/** The equations at one setting; arrays are filled anew by every `linearise`. */
export interface NormalEquations {
  readonly model: FilmModel;
  readonly groups: readonly ObservationGroup[];
  /** n × n, lower half: the Hessian (Gauss–Newton) of half the objective, nuisances eliminated. */
  readonly matrix: Float64Array;
  readonly gradient: Float64Array;
  /** Per panel, hand eliminated: 3 × n rows, 3 residuals, 3 × 3 against the shared error; and the hand's own 3. */
  readonly rows: Float64Array;
  readonly residuals: Float64Array;
  readonly bySharing: Float64Array;
  readonly byHand: Float64Array;
  /** Per group: lower Cholesky factor L of the shared error's curvature, L⁻¹ of its rows (3 × n) and of its pull. */
  readonly sharedFactor: Float64Array;
  readonly sharedRows: Float64Array;
  readonly sharedPull: Float64Array;
}

export function normalEquations(model: FilmModel, groups: readonly ObservationGroup[]): NormalEquations {
  const n = model.size;
  const panels = groups.reduce((sum, g) => sum + g.observations.length, 0);
  return {
    model,
    groups,
    matrix: new Float64Array(n * n),
    gradient: new Float64Array(n),
    rows: new Float64Array(3 * panels * n),
    residuals: new Float64Array(3 * panels),
    bySharing: new Float64Array(9 * panels),
    byHand: new Float64Array(3 * panels),
    sharedFactor: new Float64Array(9 * groups.length),
    sharedRows: new Float64Array(3 * n * groups.length),
    sharedPull: new Float64Array(3 * groups.length),
  };
}

/** What is minimised: Σ Huber(‖residual‖²) + ‖unknowns‖². Not summed to its end once it is above `enough`. */
export function objective(
  { model, groups }: NormalEquations,
  at: Unknowns,
  enough = Number.POSITIVE_INFINITY,
): number {
  const state = filmState(model, at.x);
  let sum = squared(at.x) + squared(at.hands) + squared(at.shared);
  let i = 0;
  for (let g = 0; g < groups.length; g++)
    for (const o of groups[g].observations) {
      if (sum > enough) return sum;
      const lab = filmColour(model, state, o.recipe, model.priors.hand * at.hands[i++]);
      writeResidual(model, o, lab, at, groups[g].kept, g, residual);
      sum += huber(residual, model.priors.huber).loss;
    }
  return sum;
}

const residual = new Float64Array(3);

/** Fills the equations at a setting and returns the objective there. */
export function linearise(e: NormalEquations, at: Unknowns): number {
  const { model, groups, matrix, gradient } = e;
  const n = model.size;
  const state = filmState(model, at.x);
  matrix.fill(0);
  for (let i = 0; i < n; i++) matrix[i * n + i] = 1;
  gradient.set(at.x);
  let sum = squared(at.x) + squared(at.hands) + squared(at.shared);
  let i = 0;
  groups.forEach((group, g) => {
    const first = i;
    for (const o of group.observations) {
      sum += linearisePanel(e, state, o, at, group.kept, g, i);
      addPanel(e, i++);
    }
    if (!group.kept && group.observations[0].sharedUnit) subtractShared(e, g, first, i);
  });
  return sum;
}

const jacobian: { rows: Float64Array } = { rows: new Float64Array(0) };

/** One panel's rows, its hand eliminated; returns its loss. */
function linearisePanel(
  e: NormalEquations,
  state: FilmState,
  o: Observation,
  at: Unknowns,
  kept: boolean,
  g: number,
  i: number,
): number {
  const { model } = e;
  const n = model.size;
  const { toUnit: u, sharedUnit: q } = o;
  if (jacobian.rows.length !== 3 * n) jacobian.rows = new Float64Array(3 * n);
  const j = jacobian.rows;
  const rows = e.rows.subarray(3 * n * i, 3 * n * (i + 1));
  const r = e.residuals.subarray(3 * i, 3 * i + 3);
  const s = e.bySharing.subarray(9 * i, 9 * i + 9).fill(0);
  const hand = e.byHand.subarray(3 * i, 3 * i + 3);
  const sd = model.priors.hand;
  const lab = filmDerivatives(model, state, o.recipe, sd * at.hands[i], j, hand);
  writeResidual(model, o, lab, at, kept, g, r);
  const { loss, weight } = huber(r, model.priors.huber);
  const root = Math.sqrt(weight);
  const h0 = hand[0];
  const h1 = hand[1];
  const h2 = hand[2];
  for (let c = 0; c < 3; c++) {
    const a = root * u[3 * c];
    const b = root * u[3 * c + 1];
    const d = root * u[3 * c + 2];
    for (let k = 0; k < n; k++) rows[c * n + k] = a * j[k] + b * j[n + k] + d * j[2 * n + k];
    hand[c] = sd * (a * h0 + b * h1 + d * h2);
    // the residual of an even hand and no shared error, as far as the tangent sees it
    r[c] = root * r[c] - hand[c] * at.hands[i];
    if (!q) continue;
    for (let k = 0; k < 3; k++) {
      if (kept) rows[c * n + model.sharedAt + k] = root * q[3 * c + k];
      else {
        s[3 * c + k] = root * q[3 * c + k];
        r[c] -= s[3 * c + k] * at.shared[3 * g + k];
      }
    }
  }
  eliminateHand(hand, rows, n);
  eliminateHand(hand, r, 1);
  eliminateHand(hand, s, 3);
  return loss;
}

/** Columns in which a panel has anything: those of its tints, its ground and what all panels share. */
const held: { columns: Int32Array } = { columns: new Int32Array(0) };

function addPanel({ model, matrix, gradient, rows, residuals }: NormalEquations, i: number): void {
  const n = model.size;
  const from = 3 * n * i;
  if (held.columns.length < n) held.columns = new Int32Array(n);
  const { columns } = held;
  let count = 0;
  for (let a = 0; a < n; a++)
    if (rows[from + a] !== 0 || rows[from + n + a] !== 0 || rows[from + 2 * n + a] !== 0)
      columns[count++] = a;
  for (let p = 0; p < count; p++) {
    const a = columns[p];
    const u = rows[from + a];
    const v = rows[from + n + a];
    const w = rows[from + 2 * n + a];
    gradient[a] += u * residuals[3 * i] + v * residuals[3 * i + 1] + w * residuals[3 * i + 2];
    for (let q = 0; q <= p; q++) {
      const b = columns[q];
      matrix[a * n + b] += u * rows[from + b] + v * rows[from + n + b] + w * rows[from + 2 * n + b];
    }
  }
}

/** Takes out the share of a group's panels (from `first` to before `end`) that one error common to all explains. */
function subtractShared(e: NormalEquations, g: number, first: number, end: number): void {
  const { matrix, gradient, rows, residuals, bySharing } = e;
  const n = e.model.size;
  const l = e.sharedFactor.subarray(9 * g, 9 * g + 9).fill(0);
  const c = e.sharedRows.subarray(3 * n * g, 3 * n * (g + 1)).fill(0);
  const pull = e.sharedPull.subarray(3 * g, 3 * g + 3).fill(0);
  l[0] = l[4] = l[8] = 1;
  for (let i = first; i < end; i++)
    for (let row = 0; row < 3; row++) {
      const at = 3 * n * i + row * n;
      for (let p = 0; p < 3; p++) {
        const s = bySharing[9 * i + 3 * row + p];
        if (s === 0) continue;
        for (let k = 0; k < 3; k++) l[3 * p + k] += s * bySharing[9 * i + 3 * row + k];
        pull[p] += s * residuals[3 * i + row];
        for (let k = 0; k < n; k++) c[p * n + k] += s * rows[at + k];
      }
    }
  factor3(l);
  forward3(l, c, n);
  forward3(l, pull, 1);
  for (let p = 0; p < 3; p++)
    for (let a = 0; a < n; a++) {
      const v = c[p * n + a];
      if (v === 0) continue;
      gradient[a] -= v * pull[p];
      for (let b = 0; b <= a; b++) matrix[a * n + b] -= v * c[p * n + b];
    }
}

/** Where hands and shared errors come to lie when the model's unknowns move by `dx`. */
export function nuisancesAfter(e: NormalEquations, dx: Float64Array): Omit<Unknowns, 'x'> {
  const { rows, residuals, bySharing, byHand, groups, sharedFactor, sharedRows, sharedPull } = e;
  const n = e.model.size;
  const hands = new Float64Array(byHand.length / 3);
  const shared = new Float64Array(3 * groups.length);
  let i = 0;
  groups.forEach((group, g) => {
    const o = shared.subarray(3 * g, 3 * g + 3);
    if (!group.kept && group.observations[0].sharedUnit) {
      const l = sharedFactor.subarray(9 * g, 9 * g + 9);
      const [a, b, c] = [0, 1, 2].map((p) => -sharedPull[3 * g + p] - dot(sharedRows, 3 * n * g + p * n, dx));
      o[2] = c / l[8];
      o[1] = (b - l[7] * o[2]) / l[4];
      o[0] = (a - l[3] * o[1] - l[6] * o[2]) / l[0];
    }
    for (let k = 0; k < group.observations.length; k++, i++) {
      let push = 0;
      let square = 0;
      for (let c = 0; c < 3; c++) {
        const at = 9 * i + 3 * c;
        const left =
          residuals[3 * i + c] +
          dot(rows, 3 * n * i + c * n, dx) +
          bySharing[at] * o[0] +
          bySharing[at + 1] * o[1] +
          bySharing[at + 2] * o[2];
        push += byHand[3 * i + c] * left;
        square += byHand[3 * i + c] ** 2;
      }
      hands[i] = -push / Math.sqrt(1 + square);
    }
  });
  return { hands, shared };
}

function dot(a: Float64Array, from: number, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < b.length; i++) sum += a[from + i] * b[i];
  return sum;
}

function squared(v: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < v.length; i++) sum += v[i] * v[i];
  return sum;
}
