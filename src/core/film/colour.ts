/** From a recipe to a colour. */
import type { Lab } from '../color/index.ts';
import type { CompiledRecipe, FilmModel, FilmState } from './model.ts';
import { NODES } from './node-grid.ts';
import { labOfNodes, nodeViewing } from './nodes.ts';

/** Share of the light that a clear surface lets through, in and out. */
export const SURFACE_PASSES = 0.96;

/** Film amount in usual coats; `hand` is this panel's own ln amount. */
export function filmAmount(s: FilmState, r: CompiledRecipe, hand = 0): number {
  if (!r.coated) return 0;
  return Math.exp(r.lnCoats + s.beta * r.lnCoatsOverUsual - (1 + s.gamma) * r.lnCarrier - r.lnReducer + hand);
}

/** Colour of a recipe. `hand` is the panel's own ln film amount (0: an even hand). */
export function filmColour(m: FilmModel, s: FilmState, r: CompiledRecipe, hand = 0): Lab {
  const film = throughFilm(s, mixAbsorbance(m, s, r.fractions), filmAmount(s, r, hand));
  return colourOver(m, s, film, r.ground, r.clear);
}

const mixed = new Float64Array(NODES);

/** Absorbance of one usual coat of a mix, NODES values, in an array that the next call overwrites unless given one. */
export function mixAbsorbance(
  m: FilmModel,
  s: FilmState,
  fractions: Float64Array,
  out: Float64Array = mixed,
): Float64Array {
  out.fill(0);
  for (let i = 0; i < m.tints.length; i++) {
    const f = fractions[i];
    if (f === 0) continue;
    for (let n = 0; n < NODES; n++) out[n] += f * s.absorbance[i * NODES + n];
  }
  return out;
}

/** What a film does to light whatever it lies on: NODES values each. */
export interface Film {
  readonly coated: boolean;
  /** Share of light that comes back through the film, in and out. */
  readonly passed: Float64Array;
  /** Light that the film scatters back by itself. */
  readonly scattered: Float64Array;
}

const film = { coated: false, passed: new Float64Array(NODES), scattered: new Float64Array(NODES) };

/** So many usual coats (0: none) of an absorbance; overwritten by the next call. */
export function throughFilm(s: FilmState, absorbance: Float64Array, amount: number): Film {
  film.coated = amount > 0;
  const power = -1 / s.spread;
  for (let n = 0; n < NODES; n++) {
    const a = amount * absorbance[n];
    film.passed[n] = Math.exp(power * Math.log1p(s.spread * a));
    film.scattered[n] = s.haze * amount * comesBack(a);
  }
  return film;
}

/** Share of light scattered evenly inside a film of absorbance a that leaves it upwards: (1 − e^−a) / a. */
export function comesBack(a: number): number {
  return a > 1e-6 ? -Math.expm1(-a) / a : 1 - a / 2;
}

const surface = new Float64Array(NODES);

/** Colour of a film over a ground, cleared or not. */
export function colourOver(
  m: FilmModel,
  s: FilmState,
  { coated, passed, scattered }: Film,
  ground: number,
  clear: boolean,
): Lab {
  const f = s.surface + (clear ? 0 : s.uncleared);
  const gap = coated ? s.gap[ground] : 0;
  const k2 = s.inside[ground];
  const enters = SURFACE_PASSES * (1 - k2);
  for (let n = 0; n < NODES; n++) {
    const inner = s.ground[ground * NODES + n] * ((1 - gap) * passed[n] + gap) + scattered[n];
    surface[n] = f + (enters * inner) / (1 - k2 * inner);
  }
  return labOfNodes(surface, nodeViewing(m.white));
}

/** Reflectance of a recipe at the nodes. */
export function filmReflectance(m: FilmModel, s: FilmState, r: CompiledRecipe, hand = 0): Float64Array {
  filmColour(m, s, r, hand);
  return surface.slice();
}
