/** What the film model's spectra say of a panel's shift from light to light. */
import { GRID, type Lab, labFromXyz, viewing } from '../color/index.ts';
import { adaptedXyz } from '../correction/light-targets.ts';
import type { PhotoLight } from '../correction/photo-light.ts';
import { filmReflectance } from '../film/colour.ts';
import { drawnFrom, type FilmFit, type Recipe } from '../film/index.ts';
import { compileRecipe } from '../film/model.ts';
import { NODES_NM } from '../film/node-grid.ts';
import { seededRandom } from '../math/random.ts';
import { type DifferenceTold, differenceOf } from './drawn-difference.ts';

const DRAWS = 64;
const SEED = 6;

/** Shifts of recipes between lights, predicted from spectra: film draws and light draws together. */
export function filmShifts(
  fit: FilmFit,
): (recipe: Recipe, from: PhotoLight, to: PhotoLight) => DifferenceTold {
  const draws = drawnFrom(fit, DRAWS, SEED);
  const white = fit.data.white;
  return (recipe, from, to) => {
    const compiled = compileRecipe(fit.model, recipe);
    const labIn = (reflectance: Float64Array, power: Float64Array): Lab =>
      labFromXyz(adaptedXyz(reflectance, power, white), viewing(white).white);
    const drawsIn = (light: PhotoLight, seed: number): Float64Array => {
      const random = seededRandom(seed);
      return Float64Array.from(
        draws.states.flatMap((state) => [
          ...labIn(onGrid(filmReflectance(fit.model, state, compiled)), drawnPower(light, random.normal)),
        ]),
      );
    };
    const seen = onGrid(filmReflectance(fit.model, fit.state, compiled));
    return differenceOf(
      labIn(seen, from.power),
      labIn(seen, to.power),
      drawsIn(from, SEED),
      drawsIn(to, SEED + 1),
    );
  };
}

/** A light that the card allows. The learned modes' part is taken as told: what they leave open is the larger. */
function drawnPower({ power, open }: PhotoLight, normal: () => number): Float64Array {
  const out = power.slice();
  for (const mode of open) {
    const z = normal();
    for (let i = 0; i < out.length; i++) out[i] += z * mode[i];
  }
  return out;
}

/** A spectrum at the film's nodes on the core's grid: linear between, ends held. */
function onGrid(nodes: Float64Array): Float64Array {
  const [first, second] = NODES_NM;
  return Float64Array.from({ length: GRID.count }, (_, i) => {
    const x = (GRID.start_nm + i * GRID.step_nm - first) / (second - first);
    const at = Math.min(nodes.length - 1, Math.max(0, x));
    const left = Math.min(nodes.length - 2, Math.floor(at));
    return nodes[left] + (at - left) * (nodes[left + 1] - nodes[left]);
  });
}
