/** Where a fit starts: library dyes that together best explain a few telling panels over their own grounds. */
import { dyeLibrary } from './library.ts';
import { type CompiledRecipe, type FilmModel, filmAmount, filmState, tintAt } from './model.ts';
import { labOfNodes, nodeViewing } from './nodes.ts';
import { NODES } from './priors.ts';
import { type Observation, type ObservationGroup, solve } from './solve.ts';

const SCALES = [0.15, 0.3, 0.55, 1, 1.8];
/** Panels looked at for a start: more cost time and add little. */
const TELLING = 9;
/** A panel can't count for more than this against a dye, in squared standard deviations. */
const CAP = 400;

interface Chosen {
  readonly dye: number;
  readonly absorbance: Float64Array;
  readonly cost: number;
}

/** Two starts: the tints explained one after another, then in the reverse order with other dyes. */
export function starts(m: FilmModel, groups: readonly ObservationGroup[]): Float64Array[] {
  const observations = groups.flatMap((g) => g.observations);
  const bare = observations.filter((o) => !o.recipe.coated);
  const coated = telling(m, observations.filter((o) => o.recipe.coated));
  const grounds =
    bare.length > 0
      ? solve(m, [...bare.map((o) => ({ kept: false, observations: [{ ...o, sharedUnit: undefined }] }))], new Float64Array(m.size)).x
      : new Float64Array(m.size);
  if (coated.length === 0) return [grounds];
  const order = m.tints
    .map((_, i) => i)
    .filter((i) => coated.some((o) => o.recipe.fractions[i] > 0))
    .sort((a, b) => weightOf(coated, b) - weightOf(coated, a));
  const first = explain(m, coated, grounds, order, new Map());
  const second = explain(m, coated, grounds, [...order].reverse(), first);
  return [first, second].map((chosen) => project(m, grounds, chosen));
}

const weightOf = (observations: readonly Observation[], tint: number): number =>
  observations.reduce((sum, o) => sum + o.recipe.fractions[tint], 0);

/** For each tint in turn its purest panels. */
function telling(m: FilmModel, coated: readonly Observation[]): Observation[] {
  if (coated.length <= TELLING) return [...coated];
  const ranked = m.tints.map((_, i) =>
    [...coated].sort((a, b) => b.recipe.fractions[i] - a.recipe.fractions[i]),
  );
  const out = new Set<Observation>();
  for (let k = 0; out.size < TELLING; k++) for (const list of ranked) if (out.size < TELLING) out.add(list[k]);
  return [...out];
}

/** Chooses a dye for every tint, twice round; `avoid` holds the dyes of another start. */
function explain(
  m: FilmModel,
  coated: readonly Observation[],
  grounds: Float64Array,
  order: readonly number[],
  avoid: ReadonlyMap<number, Chosen>,
): Map<number, Chosen> {
  const state = filmState(m, grounds);
  const chosen = new Map<number, Chosen>();
  for (let round = 0; round < 2; round++) {
    for (const tint of order) {
      const others = coated.map((o) => absorbanceOf(o.recipe, tint, chosen, filmAmount(state, o.recipe)));
      const seen = coated.map((o, i) => ({ o, other: others[i] })).filter(({ o }) => o.recipe.fractions[tint] > 0);
      const without = avoid.get(tint);
      chosen.set(tint, bestDye(m, state, seen, tint, round === 0 ? without : undefined));
    }
  }
  return chosen;
}

function absorbanceOf(
  recipe: CompiledRecipe,
  except: number,
  chosen: ReadonlyMap<number, Chosen>,
  amount: number,
): Float64Array {
  const a = new Float64Array(NODES);
  for (const [tint, { absorbance }] of chosen) {
    if (tint === except) continue;
    for (let n = 0; n < NODES; n++) a[n] += amount * recipe.fractions[tint] * absorbance[n];
  }
  return a;
}

function bestDye(
  m: FilmModel,
  state: ReturnType<typeof filmState>,
  panels: readonly { o: Observation; other: Float64Array }[],
  tint: number,
  avoid: Chosen | undefined,
): Chosen {
  const library = dyeLibrary();
  const view = nodeViewing(m.white);
  const r = new Float64Array(NODES);
  let best = { dye: 0, scale: 1, cost: Number.POSITIVE_INFINITY };
  for (let d = 0; d < library.length / NODES; d++) {
    if (avoid && alike(library, d, avoid.dye)) continue;
    for (const scale of SCALES) {
      let cost = 0;
      for (const { o, other } of panels) {
        const film = filmAmount(state, o.recipe) * o.recipe.fractions[tint] * scale;
        const g = o.recipe.ground;
        for (let n = 0; n < NODES; n++) {
          const passed = Math.exp(-other[n] - film * library[d * NODES + n]);
          const inner = state.ground[g * NODES + n] * ((1 - state.gap[g]) * passed + state.gap[g]);
          r[n] = state.surface + (0.48 * inner) / (1 - 0.5 * inner);
        }
        const lab = labOfNodes(r, view);
        const t = o.panel.reading.lab;
        let squared = 0;
        for (let c = 0; c < 3; c++) {
          const e =
            o.toUnit[3 * c] * (lab[0] - t[0]) +
            o.toUnit[3 * c + 1] * (lab[1] - t[1]) +
            o.toUnit[3 * c + 2] * (lab[2] - t[2]);
          squared += e * e;
        }
        cost += Math.min(CAP, squared);
        if (cost > best.cost) break;
      }
      if (cost < best.cost) best = { dye: d, scale, cost };
    }
  }
  const absorbance = library.slice(best.dye * NODES, (best.dye + 1) * NODES).map((a) => a * best.scale);
  return { dye: best.dye, absorbance, cost: best.cost };
}

function alike(library: Float64Array, a: number, b: number): boolean {
  let ab = 0;
  let aa = 0;
  let bb = 0;
  for (let n = 0; n < NODES; n++) {
    const p = library[a * NODES + n];
    const q = library[b * NODES + n];
    ab += p * q;
    aa += p * p;
    bb += q * q;
  }
  return ab * ab > 0.96 ** 2 * aa * bb;
}

/** The unknowns that come nearest to the chosen dyes. */
function project(m: FilmModel, grounds: Float64Array, chosen: ReadonlyMap<number, Chosen>): Float64Array {
  const x = grounds.slice();
  const { count, inverse, mean } = m.tintBasis;
  for (const [tint, { absorbance }] of chosen)
    for (let k = 0; k < count; k++) {
      let z = 0;
      for (let n = 0; n < NODES; n++) z += inverse[k * NODES + n] * (Math.log(absorbance[n]) - mean);
      x[tintAt(m, tint) + k] = Math.max(-2.5, Math.min(2.5, z));
    }
  return x;
}
