/**
 * A prior that covers all dyes says little of any one. While panels are few, each tint's prior is narrowed to the
 * kinds of dye that explain the panels: every kind is tried in turn and weighed by its evidence (Laplace), and the
 * mixture's mean and covariance become the tint's prior.
 */
import { dyeKinds } from './kinds.ts';
import { type FilmModel, tintAt } from './model.ts';
import { momentsOfMixture } from './moments.ts';
import { NODES } from './node-grid.ts';
import { type Basis, tintBasisOf } from './priors.ts';
import { type Fitted, posteriorFactor, type Solution, solve } from './solve.ts';

/** With more sprayed panels than this the tints' kinds no longer matter. */
const FEW_SPRAYED = 9;
/** Keeps directions that a basis hardly has from being asked for much. */
const RIDGE = 0.3;

export function sharpen(broad: Fitted): Fitted {
  const sprayed = broad.groups.flatMap((g) => g.observations).filter((o) => o.recipe.coated);
  if (sprayed.length > FEW_SPRAYED) return broad;
  let fitted = broad;
  broad.model.tints.forEach((_, tint) => {
    if (sprayed.some((o) => o.recipe.fractions[tint] > 0)) fitted = sharpenTint(fitted, tint);
  });
  return fitted;
}

function sharpenTint(fitted: Fitted, tint: number): Fitted {
  const kinds = dyeKinds(fitted.model.priors);
  const tried = kinds.map((kind) => {
    const as = refit(fitted, tint, tintBasisOf(kind));
    return { as, evidence: Math.log(kind.share) + lnEvidence(as) };
  });
  const likeliest = tried.reduce((a, b) => (b.evidence > a.evidence ? b : a));
  const weights = tried.map((t) => Math.exp(t.evidence - likeliest.evidence));
  const total = weights.reduce((a, b) => a + b, 0);
  const mixture = momentsOfMixture(
    kinds,
    weights.map((w) => w / total),
  );
  return refit(likeliest.as, tint, tintBasisOf(mixture));
}

/** The fit with another prior for one tint, searched from where it stands. */
function refit({ model, groups, solution }: Fitted, tint: number, basis: Basis): Fitted {
  const tintBases = model.tintBases.map((b, i) => (i === tint ? basis : b));
  const next = { ...model, tintBases };
  const x = reexpressed(model, solution, tint, basis);
  return { model: next, groups, solution: solve(next, groups, { ...solution, x }) };
}

/** The unknowns with one tint's written in another basis. */
function reexpressed(m: FilmModel, { x }: Solution, tint: number, to: Basis): Float64Array {
  const out = x.slice();
  const from = m.tintBases[tint];
  const { count } = from;
  const at = tintAt(tint);
  const left = new Float64Array(NODES);
  for (let n = 0; n < NODES; n++) {
    left[n] = from.mean[n] - to.mean[n];
    for (let k = 0; k < count; k++) left[n] += from.vectors[n * count + k] * x[at + k];
  }
  // the directions of a basis are at right angles
  for (let k = 0; k < count; k++) {
    let along = 0;
    let square = RIDGE;
    for (let n = 0; n < NODES; n++) {
      along += to.vectors[n * count + k] * left[n];
      square += to.vectors[n * count + k] ** 2;
    }
    out[at + k] = along / square;
  }
  return out;
}

/** ln of how likely the panels are under a model (Laplace approximation), up to a constant. */
function lnEvidence({ model, groups, solution }: Fitted): number {
  const factor = posteriorFactor(model, groups, solution);
  let lnDeterminant = 0;
  for (let i = 0; i < model.size; i++) lnDeterminant += Math.log(factor[i * model.size + i]);
  return -solution.objective / 2 - lnDeterminant;
}
