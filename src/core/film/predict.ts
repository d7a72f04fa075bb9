import type { Lab } from '../color/index.ts';
import { invert3, solveLowerTransposed } from '../math/linear.ts';
import { type Random, seededRandom } from '../math/random.ts';
import type { FilmFit } from './fit.ts';
import { differenceFrame } from './frame.ts';
import { compileRecipe, type FilmState, filmColour, filmState } from './model.ts';
import type { Recipe } from './types.ts';

/** Draws of a film model: enough for steady 95 % quantiles. */
export const DRAWS = 256;

/** The colour an even hand would get. */
export function predictColour(fit: FilmFit, recipe: Recipe): Lab {
  return filmColour(fit.model, fit.state, compileRecipe(fit.model, recipe));
}

/** Settings of the unknowns drawn from the posterior (Laplace approximation), and their physical values. */
export interface PosteriorDraws {
  readonly states: readonly FilmState[];
  readonly xs: readonly Float64Array[];
}

export function posteriorDraws(fit: FilmFit, count = DRAWS, seed = 1): PosteriorDraws {
  const rng = seededRandom(seed);
  const n = fit.model.size;
  const xs: Float64Array[] = [];
  for (let k = 0; k < count; k++) {
    // pairs of opposite draws keep the draws' mean at the fit
    if (k % 2 === 1) {
      const before = xs[k - 1];
      xs.push(fit.x.map((v, i) => 2 * v - before[i]));
      continue;
    }
    const z = new Float64Array(n);
    for (let i = 0; i < n; i++) z[i] = rng.normal();
    solveLowerTransposed(fit.factor, n, z);
    xs.push(fit.x.map((v, i) => v + z[i]));
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
