/**
 * The joint fit: maximum a posteriori by Gauss–Newton with Gaussian priors and robust weights, over all card patches
 * of a photo at once. What the response does is taken where a reading is expected, not where it was read: see `compiled/card-fit`.
 */
import { determinant3, type Vec3 } from '../math/linear.ts';
import { type FitSteps, fitSteps } from './fit-code.ts';
import { type Fit, type FitPatch, layoutOf, type PixelModel } from './fit-model.ts';
import { type Prepared, type Problem, plainLight, prepare } from './prepared-patches.ts';
import { neverMeasured } from './print-error.ts';
import type { CorrectionPrior } from './prior.ts';
import { bentResponse, responseSlope } from './response.ts';

/** Where more of a patch's doubt than this is the print's as a whole, nobody measured the card. */
const PRINTS_DOUBT = 0.5;
const MOST_STEPS = 12;
/** Evidence, as ln, by which a larger misfit must be the worse before still larger ones are out of the question. */
const BEYOND_DOUBT = 10;
const RELATIVE_MISFITS = [0.004, 0.01, 0.022, 0.045, 0.09];

/**
 * Fits with ever larger misfits, from the last one's unknowns on, until the evidence speaks against them; with the smallest
 * alone where asked.
 */
export function fitCard(
  patches: readonly FitPatch[],
  model: PixelModel,
  learned: CorrectionPrior,
  { isStrict = false } = {},
): Fit {
  const isCardMeasured = patches.every((p) => neverMeasured(p.u) <= PRINTS_DOUBT);
  const prior = isCardMeasured ? learned : { ...learned, curve: learned.looseCurve };
  const sensitivity = prior[model.sensitivity];
  const layout = layoutOf(
    model.hasCurve ? prior.curve.modes.length : 0,
    sensitivity.modes.length,
    patches[0]?.sharedModes.length ?? 0,
  );
  const prepared = patches.map((p) => prepare(p, prior, sensitivity));
  const scale = paperScale(prepared, model, prior);
  const problem = { prepared, model, prior, isCardMeasured, layout, scale };
  const steps = fitSteps(problem);
  let best: Omit<Fit, 'farthest'> | undefined;
  let farthest: number | undefined;
  for (const relative of isStrict ? RELATIVE_MISFITS.slice(0, 1) : RELATIVE_MISFITS) {
    const fit = solve(problem, steps, relative);
    farthest ??= Math.max(...fit.rows.map((r) => Math.hypot(...r.residual)));
    if (!best || fit.logEvidence > best.logEvidence) best = fit;
    else if (fit.logEvidence < best.logEvidence - BEYOND_DOUBT) break;
  }
  return { ...best!, farthest: farthest! };
}

/** Per channel, the median over the neutrals of (light read) / (light expected), so that paper reads near 1. */
function paperScale(prepared: readonly Prepared[], model: PixelModel, prior: CorrectionPrior): Vec3 {
  const usedNeutrals = prepared.filter((p) => p.patch.neutral);
  const basis = usedNeutrals.length >= 2 ? usedNeutrals : prepared;
  return [0, 1, 2].map((c) => {
    const bright = basis
      .filter((p) => p.patch.usable[c])
      .map((p) => ({ expected: p.base[c], ratio: plainLight(p, model, prior)[c] / p.base[c] }))
      .sort((a, b) => b.expected - a.expected);
    const top = bright
      .slice(0, Math.max(1, Math.ceil(bright.length / 2)))
      .map((b) => b.ratio)
      .sort((a, b) => a - b);
    const median = top.length ? top[Math.floor(top.length / 2)] : 1;
    return median > 1e-6 ? median : 1;
  }) as unknown as Vec3;
}

/** Goes on from where the unknowns stand. */
function solve(
  problem: Problem,
  { theta, step, move, found }: FitSteps,
  relative: number,
): Omit<Fit, 'farthest'> {
  const { layout, prepared } = problem;
  const n = layout.size;
  for (let k = 0; k < MOST_STEPS; k++) {
    step(relative);
    let largest = 0;
    for (let i = 0; i < n; i++) largest = Math.max(largest, Math.abs(move[i]));
    const damp = largest > 1.5 ? 1.5 / largest : 1;
    for (let i = 0; i < n; i++) theta[i] -= damp * move[i];
    if (largest < 0.03) break;
  }
  const { rows, information, factor, logDet: scatter } = found();
  let cost = 0;
  let logDet = scatter;
  for (const r of rows) cost += r.weight * (r.residual[0] ** 2 + r.residual[1] ** 2 + r.residual[2] ** 2);
  for (let k = 0; k < n; k++) {
    cost += theta[k] ** 2;
    logDet += 2 * Math.log(factor[k * n + k]);
  }
  return {
    model: problem.model,
    prior: problem.prior,
    isCardMeasured: problem.isCardMeasured,
    layout,
    theta: theta.slice(),
    information,
    hessian: factor,
    scale: problem.scale,
    relative,
    logEvidence: -0.5 * (cost + logDet) + logStretch(problem, theta),
    patches: prepared.map((p) => p.patch),
    rows,
  };
}

/**
 * ln of how much the fit's response stretches the readings: what is likely is what the file holds, not what the response makes of
 * it, or a response that squeezes all light together would look best.
 */
function logStretch({ prepared, model, prior, scale }: Problem, theta: Float64Array): number {
  const ofMatrix = Math.log(Math.abs(determinant3(model.toLinearSrgb)));
  const ofScale = scale.reduce((sum, s) => sum - Math.log(s), 0);
  let sum = prepared.length * (ofMatrix + ofScale);
  if (!model.hasCurve) return sum;
  const bent = bentResponse(prior.curve, theta);
  for (const { patch } of prepared)
    patch.linear.forEach((l, c) => {
      if (patch.usable[c]) sum += Math.log(responseSlope(bent, l));
    });
  return sum;
}
