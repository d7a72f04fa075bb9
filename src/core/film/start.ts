/** Where a fit starts: library dyes that together best explain a few telling panels over their own grounds. */
import { type Lab, labFromXyz } from '../color/index.ts';
import { dyeLibrary } from './library.ts';
import {
  type CompiledRecipe,
  type FilmModel,
  type FilmState,
  filmAmount,
  filmState,
  tintAt,
} from './model.ts';
import { NODES } from './node-grid.ts';
import { nodeViewing } from './nodes.ts';
import { type Observation, type ObservationGroup, solve } from './solve.ts';

const SCALES = [0.2, 0.5, 1.2];
/** Panels looked at for a start: more cost time and add little. */
const TELLING = 6;
/** A panel can't count for more than this against a dye, in squared standard deviations. */
const CAP = 400;

interface Chosen {
  readonly dye: number;
  readonly absorbance: Float64Array;
}

/** Two starts: the tints explained one after another, then in the reverse order with other dyes. */
export function starts(m: FilmModel, groups: readonly ObservationGroup[]): Float64Array[] {
  const observations = groups.flatMap((g) => g.observations);
  const bare = observations.filter((o) => !o.recipe.coated);
  const coated = telling(
    m,
    observations.filter((o) => o.recipe.coated),
  );
  const grounds =
    bare.length > 0
      ? solve(
          m,
          [...bare.map((o) => ({ kept: false, observations: [{ ...o, sharedUnit: undefined }] }))],
          new Float64Array(m.size),
        ).x
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
  for (let k = 0; out.size < TELLING; k++)
    for (const list of ranked) if (out.size < TELLING) out.add(list[k]);
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
      const seen = coated
        .map((o, i) => ({ o, other: others[i] }))
        .filter(({ o }) => o.recipe.fractions[tint] > 0);
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

/** The library and the white at half the nodes: a start need not be finer. */
const COARSE = NODES / 2;

function coarse(values: Float64Array): Float64Array {
  return Float64Array.from({ length: values.length / 2 }, (_, i) => (values[2 * i] + values[2 * i + 1]) / 2);
}

interface Sight {
  readonly toUnit: Observation['toUnit'];
  readonly lab: Lab;
  /** Light that comes up through the other tints, and light that met no film, COARSE values each. */
  readonly through: Float64Array;
  readonly beside: Float64Array;
  readonly film: number;
}

function sightOf(
  state: FilmState,
  { recipe, panel, toUnit }: Observation,
  other: Float64Array,
  tint: number,
): Sight {
  const from = recipe.ground * NODES;
  const ground = coarse(state.ground.subarray(from, from + NODES));
  const gap = state.gap[recipe.ground];
  return {
    toUnit,
    lab: panel.reading.lab,
    through: coarse(other).map((a, n) => (1 - gap) * ground[n] * Math.exp(-a)),
    beside: ground.map((r) => gap * r),
    film: filmAmount(state, recipe) * recipe.fractions[tint],
  };
}

function bestDye(
  m: FilmModel,
  state: FilmState,
  panels: readonly { o: Observation; other: Float64Array }[],
  tint: number,
  avoid: Chosen | undefined,
): Chosen {
  const library = dyeLibrary();
  const dyes = coarse(library);
  const weights = coarse(nodeViewing(m.white).weights).map((w) => 2 * w);
  const sights = panels.map(({ o, other }) => sightOf(state, o, other, tint));
  let best = { dye: 0, scale: 1, cost: Number.POSITIVE_INFINITY };
  for (let d = 0; d < library.length / NODES; d++) {
    if (avoid && alike(library, d, avoid.dye)) continue;
    for (const scale of SCALES) {
      let cost = 0;
      for (const sight of sights) {
        cost += Math.min(CAP, misfitOf(sight, dyes, d * COARSE, scale, weights, state.surface));
        if (cost > best.cost) break;
      }
      if (cost < best.cost) best = { dye: d, scale, cost };
    }
  }
  const absorbance = library.slice(best.dye * NODES, (best.dye + 1) * NODES).map((a) => a * best.scale);
  return { dye: best.dye, absorbance };
}

/** Squared, whitened distance of a panel from what a dye would make of it. */
function misfitOf(
  { toUnit: u, lab, through, beside, film }: Sight,
  dyes: Float64Array,
  at: number,
  scale: number,
  weights: Float64Array,
  surface: number,
): number {
  let x = 0;
  let y = 0;
  let z = 0;
  for (let n = 0; n < COARSE; n++) {
    const inner = through[n] * Math.exp(-film * scale * dyes[at + n]) + beside[n];
    const r = surface + (0.48 * inner) / (1 - 0.5 * inner);
    x += weights[n] * r;
    y += weights[COARSE + n] * r;
    z += weights[2 * COARSE + n] * r;
  }
  const [l, a, b] = labFromXyz([x, y, z], EQUAL);
  const dl = l - lab[0];
  const da = a - lab[1];
  const db = b - lab[2];
  const p = u[0] * dl + u[1] * da + u[2] * db;
  const q = u[3] * dl + u[4] * da + u[5] * db;
  const r = u[6] * dl + u[7] * da + u[8] * db;
  return p * p + q * q + r * r;
}

/** The weights are over the white already. */
const EQUAL = [1, 1, 1] as const;

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
