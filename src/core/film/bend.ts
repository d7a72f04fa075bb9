/**
 * Draws of the unknowns that bend with the model. A Laplace approximation lies along the fit's tangent: where tints may
 * stand in for each other its draws are far apart, absorbance is an exponential, and they leave what the panels showed.
 * Each draw is led back to what the tangent promised of the panels, as in Bardsley, Solonen, Haario and Laine,
 * "Randomize-then-optimize" (SIAM J. Sci. Comput. 36, 2014).
 */
import { cholesky, choleskySolve } from '../math/linear.ts';
import { filmColour } from './colour.ts';
import { filmDerivatives } from './derivatives.ts';
import { filmState } from './model.ts';
import { linearise, type NormalEquations, normalEquations } from './normal-equations.ts';
import type { Observation, ObservationGroup } from './observe.ts';
import { huber, writeResidual, writeRows } from './residual.ts';
import type { Fitted } from './solve.ts';
import { eliminateHand, forward3 } from './three-rows.ts';

const MOST_STEPS = 12;
/** What is left, a sum of squares of as many as the unknowns, is small enough. */
const ENOUGH = 2;
/** A step that lowers what is left by a smaller share ends the search. */
const SMALL_GAIN = 0.2;
const MOST_DAMPING = 1e4;

/** A fit's tangent, ready to lead draws back to it. */
interface Tangent {
  /** Its robust weights are in the panels' units, and none is to come. */
  readonly fitted: Fitted;
  readonly equations: NormalEquations;
  /** The panels' whitened residuals at the fit, and how these change with the unknowns: 3 and 3 × n a panel. */
  readonly residuals: Float64Array;
  readonly rows: Float64Array;
  /** The equations at the fit, and the lower Cholesky factor of their matrix. */
  readonly atFit: NormalEquations;
  readonly factor: Float64Array;
}

/** A function that leads draws of a fit back; `factor` is that of its inverse posterior covariance. */
export function bender(fitted: Fitted, factor: Float64Array): (draw: Float64Array) => Float64Array {
  const tangent = tangentOf(fitted, factor);
  return (draw) => bent(tangent, draw);
}

function tangentOf({ model: robust, groups: read, solution }: Fitted, factor: Float64Array): Tangent {
  const model = { ...robust, priors: { ...robust.priors, huber: Number.POSITIVE_INFINITY } };
  const before = residualsAt({ model, groups: read, solution }, solution.x);
  let i = 0;
  const groups = read.map((group) => ({
    ...group,
    observations: group.observations.map((o) => {
      const at = 3 * i++;
      return weighed(o, Math.sqrt(huber(before.subarray(at, at + 3), robust.priors.huber).weight));
    }),
  }));
  const fitted = { model, groups, solution };
  const atFit = normalEquations(model, groups);
  linearise(atFit, solution);
  return {
    fitted,
    atFit,
    factor,
    equations: normalEquations(model, groups),
    residuals: residualsAt(fitted, solution.x),
    rows: rowsAt(fitted),
  };
}

function weighed(o: Observation, root: number): Observation {
  const times = (m: Observation['toUnit']) => m.map((v) => root * v) as unknown as Observation['toUnit'];
  return { ...o, toUnit: times(o.toUnit), sharedUnit: o.sharedUnit && times(o.sharedUnit) };
}

/** Calls for every panel, in the order of the unknown hands. */
function eachPanel(
  groups: readonly ObservationGroup[],
  visit: (o: Observation, i: number, group: ObservationGroup, g: number) => void,
): void {
  let i = 0;
  groups.forEach((group, g) => {
    for (const o of group.observations) visit(o, i++, group, g);
  });
}

/** Whitened residuals of all panels at a setting of the model's unknowns, hands and shared errors as they were fitted. */
function residualsAt({ model, groups, solution }: Fitted, x: Float64Array): Float64Array {
  const state = filmState(model, x);
  const at = { ...solution, x };
  const out = new Float64Array(3 * solution.hands.length);
  eachPanel(groups, (o, i, { kept }, g) => {
    const lab = filmColour(model, state, o.recipe, model.priors.hand * solution.hands[i]);
    writeResidual(model, o, lab, at, kept, g, out.subarray(3 * i, 3 * i + 3));
  });
  return out;
}

/** How the residuals change with the model's unknowns at the fit. */
function rowsAt({ model, groups, solution }: Fitted): Float64Array {
  const n = model.size;
  const state = filmState(model, solution.x);
  const out = new Float64Array(3 * n * solution.hands.length);
  const jacobian = new Float64Array(3 * n);
  const byHand = new Float64Array(3);
  eachPanel(groups, (o, i, { kept }) => {
    filmDerivatives(model, state, o.recipe, model.priors.hand * solution.hands[i], jacobian, byHand);
    const rows = out.subarray(3 * n * i, 3 * n * (i + 1));
    writeRows(o, jacobian, n, rows);
    if (!o.sharedUnit || !kept) return;
    for (let c = 0; c < 3; c++)
      for (let k = 0; k < 3; k++) rows[c * n + model.sharedAt + k] = o.sharedUnit[3 * c + k];
  });
  return out;
}

/** Levenberg–Marquardt from the draw on, where it is off at all. */
function bent(tangent: Tangent, draw: Float64Array): Float64Array {
  const { equations, atFit } = tangent;
  const n = draw.length;
  const aim = { draw, promised: promisesOf(tangent, draw) };
  const first = distance(tangent, aim, draw, atFit);
  if (first.loss <= ENOUGH) return draw;
  // most draws are led back by the curvature at the fit
  const step = choleskySolve(tangent.factor, n, gradient(tangent, aim, draw, first, atFit));
  const led = draw.map((v, i) => v - step[i]);
  const afterwards = distance(tangent, aim, led, atFit).loss;
  if (afterwards <= ENOUGH) return led;
  let x = afterwards < first.loss ? led : draw;
  let damping = 1e-3;
  for (let k = 0; k < MOST_STEPS; k++) {
    linearise(equations, { ...tangent.fitted.solution, x });
    const now = distance(tangent, aim, x, equations);
    const pull = gradient(tangent, aim, x, now, equations);
    let next = x;
    let there = now;
    do {
      const step = pull.slice();
      const damped = equations.matrix.slice();
      for (let i = 0; i < n; i++) damped[i * n + i] *= 1 + damping;
      choleskySolve(cholesky(damped, n, 1e-10), n, step);
      next = x.map((v, i) => v - step[i]);
      there = distance(tangent, aim, next, equations);
      damping *= there.loss < now.loss ? 0.2 : 8;
    } while (!(there.loss < now.loss) && damping < MOST_DAMPING);
    if (!(there.loss < now.loss)) return x;
    x = next;
    if (there.loss <= ENOUGH || there.loss > (1 - SMALL_GAIN) * now.loss) return x;
  }
  return x;
}

/** The panels' residuals that the tangent promises a draw. */
function promisesOf({ fitted: { solution }, residuals, rows }: Tangent, draw: Float64Array): Float64Array {
  const n = draw.length;
  const moved = draw.map((v, k) => v - solution.x[k]);
  return residuals.map((r, at) => r + dot(moved, at * n, rows));
}

/** How a draw is to come out: as near to itself as what was promised of the panels allows. */
interface Aim {
  readonly draw: Float64Array;
  readonly promised: Float64Array;
}

/** What hands and shared errors explain of residuals, at the setting that the equations were last filled at. */
type Metric = Pick<NormalEquations, 'byHand' | 'bySharing' | 'sharedFactor'>;

/** How far a setting is from an aim, squared; hands and shared errors follow. */
interface Distance {
  readonly loss: number;
  /** 3 a panel, without what its hand explains; and 3 a group, what its shared error explains. */
  readonly left: Float64Array;
  readonly pulls: Float64Array;
}

function distance({ fitted }: Tangent, { draw, promised }: Aim, x: Float64Array, metric: Metric): Distance {
  const { byHand, bySharing, sharedFactor } = metric;
  const left = residualsAt(fitted, x);
  const pulls = new Float64Array(3 * fitted.groups.length);
  let loss = 0;
  for (let k = 0; k < x.length; k++) loss += (x[k] - draw[k]) ** 2;
  eachPanel(fitted.groups, (o, i, { kept }, g) => {
    const own = left.subarray(3 * i, 3 * i + 3);
    for (let c = 0; c < 3; c++) own[c] -= promised[3 * i + c];
    eliminateHand(byHand.subarray(3 * i, 3 * i + 3), own, 1);
    for (let c = 0; c < 3; c++) {
      loss += own[c] ** 2;
      if (o.sharedUnit && !kept) addTo(pulls.subarray(3 * g, 3 * g + 3), own[c], bySharing, 9 * i + 3 * c);
    }
  });
  fitted.groups.forEach((group, g) => {
    if (!sharesOne(group)) return;
    const pull = pulls.subarray(3 * g, 3 * g + 3);
    forward3(sharedFactor.subarray(9 * g, 9 * g + 9), pull, 1);
    loss -= dot(pull, 0, pull);
  });
  return { loss, left, pulls };
}

const sharesOne = ({ kept, observations }: ObservationGroup): boolean =>
  !kept && observations[0].sharedUnit !== undefined;

/** Half the gradient of the distance, as the panels change where the equations were filled. */
function gradient(
  { fitted }: Tangent,
  { draw }: Aim,
  x: Float64Array,
  { left, pulls }: Distance,
  { rows, sharedRows }: NormalEquations,
): Float64Array {
  const n = x.length;
  const out = x.map((v, k) => v - draw[k]);
  for (let at = 0; at < left.length; at++) addTo(out, left[at], rows, at * n);
  fitted.groups.forEach((group, g) => {
    if (!sharesOne(group)) return;
    for (let p = 0; p < 3; p++) addTo(out, -pulls[3 * g + p], sharedRows, (3 * g + p) * n);
  });
  return out;
}

/** Product of `a` with as many values of `b` from `from` on. */
function dot(a: Float64Array, from: number, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k] * b[from + k];
  return sum;
}

/** Adds `times` as many values of `b` from `from` on. */
function addTo(a: Float64Array, times: number, b: Float64Array, from: number): void {
  for (let k = 0; k < a.length; k++) a[k] += times * b[from + k];
}
