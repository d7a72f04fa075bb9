/**
 * Least squares for the film model: Levenberg–Marquardt on the whitened unknowns, with each panel's gun hand and
 * each photo's shared error eliminated by Schur complements, so that cost is linear in panels and photos.
 */
import { cholesky, choleskySolve, compose3, invert3, type Mat3 } from '../math/linear.ts';
import { differenceFrame, symmetricRoot } from './frame.ts';
import {
  type CompiledRecipe,
  compileRecipe,
  type FilmModel,
  filmColour,
  filmDerivatives,
  filmState,
} from './model.ts';
import type { FilmData, FilmPanel } from './types.ts';

/** A panel with its errors whitened: residual = toUnit (predicted − lab) + sharedUnit·o, o standard normal. */
export interface Observation {
  readonly panel: FilmPanel;
  readonly recipe: CompiledRecipe;
  readonly toUnit: Mat3;
  /** undefined when the panel shares no error with others. */
  readonly sharedUnit: Mat3 | undefined;
}

/** Panels that share one error. `kept`: its error stays among the unknowns, because the target shares it. */
export interface ObservationGroup {
  readonly kept: boolean;
  readonly observations: readonly Observation[];
}

export interface Solution {
  readonly x: Float64Array;
  /** Each panel's ln film amount, in units of the hand's standard deviation, in the order of the observations. */
  readonly hands: Float64Array;
  readonly objective: number;
  readonly converged: boolean;
  readonly steps: number;
}

/** A model with what it was fitted to and how it came out. */
export interface Fitted {
  readonly model: FilmModel;
  readonly groups: readonly ObservationGroup[];
  readonly solution: Solution;
}

/** Inverse of the lower Cholesky factor of a covariance: turns an error into one of unit covariance. */
function whitening(covariance: Mat3): Mat3 {
  const l = cholesky(Float64Array.from(covariance), 3);
  return invert3(Array.from(l) as unknown as Mat3);
}

export function observe(m: FilmModel, data: FilmData): ObservationGroup[] {
  const byGroup = new Map<string, Observation[]>();
  data.panels.forEach((panel, i) => {
    const { reading } = panel;
    const d = m.priors.misfit ** 2 / 3;
    const c = reading.own;
    const unit = whitening([c[0] + d, c[1], c[2], c[3], c[4] + d, c[5], c[6], c[7], c[8] + d]);
    const shared = reading.group === undefined ? undefined : data.groups.get(reading.group);
    const observation: Observation = {
      panel,
      recipe: compileRecipe(m, panel.recipe),
      toUnit: compose3(unit, differenceFrame(reading.lab)),
      sharedUnit: shared && compose3(unit, symmetricRoot(shared)),
    };
    const key = shared ? `group ${reading.group}` : `single ${i}`;
    byGroup.set(key, [...(byGroup.get(key) ?? []), observation]);
  });
  const target = data.target?.group === undefined ? '' : `group ${data.target.group}`;
  return [...byGroup].map(([key, observations]) => ({ kept: key === target, observations }));
}

const LIMIT = 80;
/** A step that lowers the objective by a smaller share ends the search. */
const SMALL_GAIN = 5e-5;
/** … or by this share, when it is still above a solution known already. */
const HOPELESS_GAIN = 0.02;

/**
 * Minimises Σ Huber(‖residual‖²) + Σ hand² + ‖x‖² from a start. `hands` are started from 0 unless given.
 * With `beat`, the search is given up once it slows down above that objective.
 */
export function solve(
  m: FilmModel,
  groups: readonly ObservationGroup[],
  start: Float64Array,
  startHands?: Float64Array,
  beat = Number.NEGATIVE_INFINITY,
): Solution {
  const count = groups.reduce((n, g) => n + g.observations.length, 0);
  const system = new NormalSystem(m, groups, count);
  let x: Float64Array = start.slice();
  let hands: Float64Array = startHands?.slice() ?? new Float64Array(count);
  let shared: Float64Array = new Float64Array(3 * groups.length);
  let objective = system.assemble(x, hands, shared);
  let lambda = 1e-2;
  let steps = 0;
  let converged = false;
  while (steps < LIMIT && !converged) {
    steps++;
    const move = system.step(lambda);
    if (move) {
      const nx = add(x, move.x);
      const nHands = add(hands, move.hands);
      const nShared = add(shared, move.shared);
      const next = system.objective(nx, nHands, nShared);
      if (next <= objective) {
        const gain = objective - next;
        x = nx;
        hands = nHands;
        shared = nShared;
        converged = gain < SMALL_GAIN * (1 + next);
        // slowing down above what is to be beaten: the same valley again, or a worse one
        if (gain < HOPELESS_GAIN * (1 + next) && next > beat - HOPELESS_GAIN) converged = true;
        objective = next;
        if (!converged) system.assemble(x, hands, shared);
        lambda = Math.max(1e-9, lambda / 5);
        continue;
      }
    }
    lambda *= 4;
    // no way down is left at any length of step
    if (lambda > 1e9) converged = true;
  }
  return { x, hands, objective, converged, steps };
}

/** Lower Cholesky factor of the inverse posterior covariance of x at a solution. */
export function posteriorFactor(
  m: FilmModel,
  groups: readonly ObservationGroup[],
  { x, hands }: Solution,
): Float64Array {
  const system = new NormalSystem(m, groups, hands.length);
  system.assemble(x, hands, new Float64Array(3 * groups.length));
  return system.factor(0);
}

function add(a: Float64Array, b: Float64Array): Float64Array {
  return Float64Array.from(a, (v, i) => v + b[i]);
}

function huber(squared: number, limit: number): { loss: number; weight: number } {
  const length = Math.sqrt(squared);
  if (length <= limit) return { loss: squared, weight: 1 };
  return { loss: 2 * limit * length - limit * limit, weight: limit / length };
}

/** The normal equations with their eliminated blocks; arrays are reused from step to step. */
class NormalSystem {
  private readonly m: FilmModel;
  private readonly groups: readonly ObservationGroup[];
  private readonly n: number;
  /** Width of a row while a group's shared error is still in: unknowns and three more. */
  private readonly w: number;
  private readonly jacobian: Float64Array;
  private readonly byHand = new Float64Array(3);
  // per panel: row of [unknowns, shared] against the hand, the hand's curvature and gradient
  private readonly handRow: Float64Array;
  private readonly handCurve: Float64Array;
  private readonly handGradient: Float64Array;
  /** Per group: the normal matrix (w × w, upper half) and gradient before eliminations that depend on damping. */
  private readonly groupMatrix: Float64Array[];
  private readonly groupGradient: Float64Array[];
  private x: Float64Array = new Float64Array(0);
  private hands: Float64Array = new Float64Array(0);
  private shared: Float64Array = new Float64Array(0);

  constructor(m: FilmModel, groups: readonly ObservationGroup[], count: number) {
    this.m = m;
    this.groups = groups;
    this.n = m.size;
    this.w = m.size + 3;
    this.jacobian = new Float64Array(3 * m.size);
    this.handRow = new Float64Array(count * this.w);
    this.handCurve = new Float64Array(count);
    this.handGradient = new Float64Array(count);
    this.groupMatrix = [];
    this.groupGradient = [];
  }

  objective(x: Float64Array, hands: Float64Array, shared: Float64Array): number {
    const { m } = this;
    const state = filmState(m, x);
    let sum = 0;
    for (const v of x) sum += v * v;
    for (const v of hands) sum += v * v;
    for (const v of shared) sum += v * v;
    let at = 0;
    this.groups.forEach((group, g) => {
      for (const o of group.observations) {
        const lab = filmColour(m, state, o.recipe, m.priors.hand * hands[at++]);
        const r = residual(o, lab, sharedOf(m, group, x, shared, g));
        sum += huber(r[0] * r[0] + r[1] * r[1] + r[2] * r[2], m.priors.huber).loss;
      }
    });
    return sum;
  }

  /** Fills the system at a setting and returns the objective there. */
  assemble(x: Float64Array, hands: Float64Array, shared: Float64Array): number {
    this.x = x;
    this.hands = hands;
    this.shared = shared;
    const { m, n, w } = this;
    const state = filmState(m, x);
    let sum = 0;
    for (const v of x) sum += v * v;
    for (const v of hands) sum += v * v;
    for (const v of shared) sum += v * v;
    const rows = new Float64Array(3 * w);
    let at = 0;
    this.groups.forEach((group, g) => {
      this.groupMatrix[g] ??= new Float64Array(w * w);
      this.groupGradient[g] ??= new Float64Array(w);
      const matrix = this.groupMatrix[g].fill(0);
      const gradient = this.groupGradient[g].fill(0);
      for (const o of group.observations) {
        const lab = filmDerivatives(
          m,
          state,
          o.recipe,
          m.priors.hand * hands[at],
          this.jacobian,
          this.byHand,
        );
        const r = residual(o, lab, sharedOf(m, group, x, shared, g));
        const { loss, weight } = huber(r[0] * r[0] + r[1] * r[1] + r[2] * r[2], m.priors.huber);
        sum += loss;
        whitenRows(o, this.jacobian, n, w, rows, group.kept ? m.sharedAt : n);
        const hand = [0, 1, 2].map(
          (c) =>
            m.priors.hand *
            (o.toUnit[3 * c] * this.byHand[0] +
              o.toUnit[3 * c + 1] * this.byHand[1] +
              o.toUnit[3 * c + 2] * this.byHand[2]),
        );
        accumulate(rows, r, weight, w, matrix, gradient);
        const row = this.handRow.subarray(at * w, (at + 1) * w);
        for (let j = 0; j < w; j++)
          row[j] = weight * (hand[0] * rows[j] + hand[1] * rows[w + j] + hand[2] * rows[2 * w + j]);
        this.handCurve[at] = weight * (hand[0] ** 2 + hand[1] ** 2 + hand[2] ** 2);
        this.handGradient[at] = weight * (hand[0] * r[0] + hand[1] * r[1] + hand[2] * r[2]) + hands[at];
        at++;
      }
    });
    return sum;
  }

  /** Eliminates hands and shared errors under a damping; what is left is on the unknowns alone. */
  private reduce(lambda: number): {
    matrix: Float64Array;
    gradient: Float64Array;
    blocks: EliminatedGroup[];
  } {
    const { n, w } = this;
    const matrix = new Float64Array(n * n);
    const gradient = Float64Array.from(this.x);
    for (let i = 0; i < n; i++) matrix[i * n + i] = 1;
    const diagonal = new Float64Array(n);
    const blocks: EliminatedGroup[] = [];
    let at = 0;
    this.groups.forEach((group, g) => {
      const a = this.groupMatrix[g].slice();
      const b = this.groupGradient[g].slice();
      for (let i = 0; i < n; i++) diagonal[i] += a[i * w + i];
      for (let i = n; i < w; i++) {
        // damped like every unknown, its prior included
        a[i * w + i] = (a[i * w + i] + 1) * (1 + lambda);
        b[i] += this.shared[3 * g + i - n];
      }
      for (let k = 0; k < group.observations.length; k++, at++) {
        const row = this.handRow.subarray(at * w, (at + 1) * w);
        const curve = (this.handCurve[at] + 1) * (1 + lambda);
        const pull = this.handGradient[at] / curve;
        for (let i = 0; i < w; i++) {
          if (row[i] === 0) continue;
          const ri = row[i] / curve;
          b[i] -= row[i] * pull;
          for (let j = i; j < w; j++) a[i * w + j] -= ri * row[j];
        }
      }
      blocks.push(eliminateTail(a, b, n, w));
      for (let i = 0; i < n; i++) {
        gradient[i] += b[i];
        for (let j = i; j < n; j++) matrix[i * n + j] += a[i * w + j];
      }
    });
    for (let i = 0; i < n; i++) {
      matrix[i * n + i] += lambda * (1 + diagonal[i]);
      for (let j = 0; j < i; j++) matrix[i * n + j] = matrix[j * n + i];
    }
    return { matrix, gradient, blocks };
  }

  factor(lambda: number): Float64Array {
    return cholesky(this.reduce(lambda).matrix, this.n, 1e-10);
  }

  /** The damped step, or undefined when the damped matrix has no Cholesky factor. */
  step(lambda: number): { x: Float64Array; hands: Float64Array; shared: Float64Array } | undefined {
    const { n, w } = this;
    const { matrix, gradient, blocks } = this.reduce(lambda);
    let x: Float64Array;
    try {
      x = choleskySolve(
        cholesky(matrix, n),
        n,
        gradient.map((v) => -v),
      );
    } catch {
      return undefined;
    }
    const hands = new Float64Array(this.hands.length);
    const shared = new Float64Array(this.shared.length);
    let at = 0;
    this.groups.forEach((group, g) => {
      const { inverse, rows, pull } = blocks[g];
      const rest = pull.map((p, i) => -p - dot(rows, i * n, x, n));
      for (let i = 0; i < 3; i++)
        shared[3 * g + i] =
          inverse[3 * i] * rest[0] + inverse[3 * i + 1] * rest[1] + inverse[3 * i + 2] * rest[2];
      for (let k = 0; k < group.observations.length; k++, at++) {
        let push = this.handGradient[at] + dot(this.handRow, at * w, x, n);
        for (let i = 0; i < 3; i++) push += this.handRow[at * w + n + i] * shared[3 * g + i];
        hands[at] = -push / ((this.handCurve[at] + 1) * (1 + lambda));
      }
    });
    return { x, hands, shared };
  }
}

interface EliminatedGroup {
  readonly inverse: Mat3;
  /** 3 × n: the shared error against the unknowns. */
  readonly rows: Float64Array;
  readonly pull: readonly number[];
}

function dot(a: Float64Array, from: number, b: Float64Array, count: number): number {
  let sum = 0;
  for (let i = 0; i < count; i++) sum += a[from + i] * b[i];
  return sum;
}

/** Schur complement of the last three rows and columns of a w × w matrix given by its upper half. */
function eliminateTail(a: Float64Array, b: Float64Array, n: number, w: number): EliminatedGroup {
  const tail = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (let i = 0; i < 3; i++)
    for (let j = i; j < 3; j++) tail[3 * i + j] = tail[3 * j + i] = a[(n + i) * w + n + j];
  const inverse = invert3(tail as unknown as Mat3);
  const rows = new Float64Array(3 * n);
  let any = false;
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < n; j++) {
      rows[i * n + j] = a[j * w + n + i];
      any ||= rows[i * n + j] !== 0;
    }
  const pull = [b[n], b[n + 1], b[n + 2]];
  if (any)
    for (let j = 0; j < n; j++) {
      const c = [0, 1, 2].map(
        (i) =>
          inverse[3 * i] * rows[j] + inverse[3 * i + 1] * rows[n + j] + inverse[3 * i + 2] * rows[2 * n + j],
      );
      b[j] -= c[0] * pull[0] + c[1] * pull[1] + c[2] * pull[2];
      for (let k = j; k < n; k++)
        a[j * w + k] -= c[0] * rows[k] + c[1] * rows[n + k] + c[2] * rows[2 * n + k];
    }
  return { inverse, rows, pull };
}

function sharedOf(
  m: FilmModel,
  group: ObservationGroup,
  x: Float64Array,
  shared: Float64Array,
  g: number,
): readonly [number, number, number] {
  if (group.kept) return [x[m.sharedAt], x[m.sharedAt + 1], x[m.sharedAt + 2]];
  return [shared[3 * g], shared[3 * g + 1], shared[3 * g + 2]];
}

function residual(
  { panel, toUnit: u, sharedUnit: q }: Observation,
  lab: readonly [number, number, number],
  o: readonly [number, number, number],
): [number, number, number] {
  const d = [lab[0] - panel.reading.lab[0], lab[1] - panel.reading.lab[1], lab[2] - panel.reading.lab[2]];
  const out: [number, number, number] = [0, 0, 0];
  for (let c = 0; c < 3; c++) {
    out[c] = u[3 * c] * d[0] + u[3 * c + 1] * d[1] + u[3 * c + 2] * d[2];
    if (q) out[c] += q[3 * c] * o[0] + q[3 * c + 1] * o[1] + q[3 * c + 2] * o[2];
  }
  return out;
}

function whitenRows(
  { toUnit: u, sharedUnit: q }: Observation,
  jacobian: Float64Array,
  n: number,
  w: number,
  rows: Float64Array,
  sharedAt: number,
): void {
  rows.fill(0);
  for (let c = 0; c < 3; c++) {
    for (let j = 0; j < n; j++)
      rows[c * w + j] =
        u[3 * c] * jacobian[j] + u[3 * c + 1] * jacobian[n + j] + u[3 * c + 2] * jacobian[2 * n + j];
    if (q) for (let i = 0; i < 3; i++) rows[c * w + sharedAt + i] = q[3 * c + i];
  }
}

function accumulate(
  rows: Float64Array,
  r: readonly number[],
  weight: number,
  w: number,
  matrix: Float64Array,
  gradient: Float64Array,
): void {
  for (let c = 0; c < 3; c++) {
    const row = c * w;
    for (let i = 0; i < w; i++) {
      const v = weight * rows[row + i];
      if (v === 0) continue;
      gradient[i] += v * r[c];
      for (let j = i; j < w; j++) matrix[i * w + j] += v * rows[row + j];
    }
  }
}
