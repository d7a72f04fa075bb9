/** Where a fit starts: at the most ordinary paint shop, and at the likeliest of many shops drawn from the priors. */
import { seededRandom } from '../math/random.ts';
import { type FilmModel, tintAt } from './model.ts';
import { normalEquations, objective } from './normal-equations.ts';
import type { ObservationGroup } from './observe.ts';
import { solve, startAt } from './solve.ts';

/** Shops drawn; the likeliest is worth a search. */
const DRAWN = 60;
/** Draws keep nearer to the middle than the prior does: far out, a search finds its way badly. */
const SPREAD = 0.8;

export function starts(m: FilmModel, groups: readonly ObservationGroup[]): Float64Array[] {
  const first = ordinary(m, groups);
  const equations = normalEquations(m, groups);
  const rng = seededRandom(3);
  let likeliest = first;
  let least = Number.POSITIVE_INFINITY;
  for (let k = 0; k < DRAWN; k++) {
    const x = first.slice();
    for (let i = tintAt(0); i < m.groundsAt; i++) x[i] = SPREAD * rng.normal();
    const off = objective(equations, startAt(groups, x), least);
    if (off < least) [least, likeliest] = [off, x];
  }
  return [first, likeliest];
}

/** Grounds as their bare panels show them, everything else as is most common. */
export function ordinary(m: FilmModel, groups: readonly ObservationGroup[]): Float64Array {
  const nothing = new Float64Array(m.size);
  const bare = groups
    .map((g) => ({ kept: false, observations: g.observations.filter((o) => !o.recipe.coated) }))
    .filter((g) => g.observations.length > 0);
  return bare.length === 0 ? nothing : solve(m, bare, startAt(bare, nothing)).x;
}
