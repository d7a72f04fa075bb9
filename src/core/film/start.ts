/** Where a fit starts: at the most ordinary paint shop, and at the likeliest few of many shops drawn from the priors. */
import { seededRandom } from '../math/random.ts';
import { type FilmModel, tintAt } from './model.ts';
import { normalEquations, objective } from './normal-equations.ts';
import type { ObservationGroup } from './observe.ts';
import { solve, startAt } from './solve.ts';

/** Shops drawn, and how many of them are worth a search. */
const DRAWN = 60;
const KEPT = 2;
/** Draws keep nearer to the middle than the prior does: far out, a search finds its way badly. */
const SPREAD = 0.8;

export function starts(m: FilmModel, groups: readonly ObservationGroup[]): Float64Array[] {
  const ordinary = groundsAlone(m, groups);
  const equations = normalEquations(m, groups);
  const rng = seededRandom(3);
  const drawn = Array.from({ length: DRAWN }, () => {
    const x = ordinary.slice();
    for (let i = tintAt(m, 0); i < m.groundsAt; i++) x[i] = SPREAD * rng.normal();
    return { x, off: objective(equations, startAt(groups, x)) };
  });
  drawn.sort((a, b) => a.off - b.off);
  return [ordinary, ...drawn.slice(0, KEPT).map((d) => d.x)];
}

/** Grounds as their bare panels show them, everything else as is most common. */
function groundsAlone(m: FilmModel, groups: readonly ObservationGroup[]): Float64Array {
  const nothing = new Float64Array(m.size);
  const bare = groups
    .map((g) => ({ kept: false, observations: g.observations.filter((o) => !o.recipe.coated) }))
    .filter((g) => g.observations.length > 0);
  return bare.length === 0 ? nothing : solve(m, bare, startAt(bare, nothing)).x;
}
