import type { Lab } from '../color/index.ts';
import { compose3, invert3, multiply3, solveLowerTransposed } from '../math/linear.ts';
import { type Random, seededRandom } from '../math/random.ts';
import { bender } from './bend.ts';
import { filmColour } from './colour.ts';
import type { FilmFit } from './fit.ts';
import { differenceFrame, symmetricRoot } from './frame.ts';
import { compileRecipe, type FilmState, filmState } from './model.ts';
import type { Recipe } from './types.ts';

/** Draws of a film model: enough for steady 95 % quantiles. */
export const DRAWS = 256;

/** The colour an even hand would get. */
export function predictColour(fit: FilmFit, recipe: Recipe): Lab {
  return filmColour(fit.model, fit.state, compileRecipe(fit.model, recipe));
}

/** Settings of the unknowns drawn from the posterior (see `bend.ts`), and their physical values. */
export interface PosteriorDraws {
  readonly states: readonly FilmState[];
  readonly xs: readonly Float64Array[];
}

const drawnBefore = new WeakMap<FilmFit, PosteriorDraws>();

/** The draws that answers about a fit have in common. */
export function posteriorDraws(fit: FilmFit): PosteriorDraws {
  const known = drawnBefore.get(fit) ?? drawnFrom(fit, DRAWS, 1);
  drawnBefore.set(fit, known);
  return known;
}

/** An even `count` of draws of their own. */
export function drawnFrom(fit: FilmFit, count: number, seed: number): PosteriorDraws {
  const rng = seededRandom(seed);
  const n = fit.model.size;
  const bend = bender(fit.fitted, fit.factor);
  const xs: Float64Array[] = [];
  while (xs.length < count) {
    const z = new Float64Array(n);
    for (let i = 0; i < n; i++) z[i] = rng.normal();
    solveLowerTransposed(fit.factor, n, z);
    // pairs of opposite draws
    for (const sign of [1, -1]) xs.push(bend(fit.x.map((v, i) => v + sign * z[i])));
  }
  return { xs, states: xs.map((x) => filmState(fit.model, x)) };
}

/**
 * Colours of a panel not sprayed yet, one a posterior draw, with the gun's hand and what the physics leaves out:
 * count × 3 Lab values, row-major.
 */
export function predictDraws(
  fit: FilmFit,
  draws: PosteriorDraws,
  recipe: Recipe,
  rng: Random = seededRandom(2),
): Float64Array {
  const { model } = fit;
  const compiled = compileRecipe(model, recipe);
  const out = new Float64Array(3 * draws.states.length);
  const back = invert3(differenceFrame(predictColour(fit, recipe)));
  const d = model.priors.misfit / Math.sqrt(3);
  draws.states.forEach((state, k) => {
    const lab = filmColour(model, state, compiled, model.priors.hand * rng.normal());
    const e = [d * rng.normal(), d * rng.normal(), d * rng.normal()];
    for (let c = 0; c < 3; c++)
      out[3 * k + c] = lab[c] + back[3 * c] * e[0] + back[3 * c + 1] * e[1] + back[3 * c + 2] * e[2];
  });
  return out;
}

const drawnTargets = new WeakMap<PosteriorDraws, Float64Array>();

/** The target's true colour, one a posterior draw: its reading less what its photo shares and its own noise. */
export function targetDraws(fit: FilmFit, draws: PosteriorDraws): Float64Array | undefined {
  const { target, groups } = fit.data;
  if (!target) return undefined;
  const known = drawnTargets.get(draws);
  if (known) return known;
  const rng = seededRandom(3);
  const back = invert3(differenceFrame(target.lab));
  const own = symmetricRoot(target.own);
  const group = target.group === undefined ? undefined : groups.get(target.group);
  const shared = group && symmetricRoot(group);
  const at = fit.model.sharedAt;
  const out = new Float64Array(3 * draws.xs.length);
  draws.xs.forEach((x, k) => {
    const z = [rng.normal(), rng.normal(), rng.normal()];
    const e = [0, 1, 2].map((c) => {
      let sum = 0;
      for (let i = 0; i < 3; i++) {
        sum += own[3 * c + i] * z[i];
        if (shared) sum += shared[3 * c + i] * x[at + i];
      }
      return sum;
    });
    for (let c = 0; c < 3; c++)
      out[3 * k + c] = target.lab[c] - (back[3 * c] * e[0] + back[3 * c + 1] * e[1] + back[3 * c + 2] * e[2]);
  });
  drawnTargets.set(draws, out);
  return out;
}

/** The target as the fit has it: its reading less the error that the panels of its photo show. */
export function targetColour(fit: FilmFit): Lab | undefined {
  const { target, groups } = fit.data;
  if (!target) return undefined;
  const group = target.group === undefined ? undefined : groups.get(target.group);
  if (!group) return target.lab;
  const back = compose3(invert3(differenceFrame(target.lab)), symmetricRoot(group));
  const o = multiply3(back, [0, 1, 2].map((i) => fit.x[fit.model.sharedAt + i]) as unknown as Lab);
  return [target.lab[0] - o[0], target.lab[1] - o[1], target.lab[2] - o[2]];
}
