/** The recipes that come nearest to a colour. */
import { ciede2000 } from '../color/ciede2000.ts';
import type { Lab } from '../color/index.ts';
import { colourOver, filmAmount, mixAbsorbance, throughFilm } from '../film/colour.ts';
import { differenceFrame } from '../film/frame.ts';
import type { FilmFit, Recipe } from '../film/index.ts';
import { compileRecipe } from '../film/model.ts';
import { type Habits, type Net, netOf } from './net.ts';
import type { AdviseSettings } from './settings.ts';

export interface Candidate {
  readonly recipe: Recipe;
  readonly lab: Lab;
  readonly de00: number;
}

/** Ratios that are tried at every letdown. */
const LOOKED_INTO = 50;
/** Recipes whose ΔE2000 is worked out, for each one asked for: the sieve before them is a little coarser. */
const SIEVED = 3;

/** The `most` candidates whose colour, from an even hand, is nearest to a colour; nearest first. */
export function nearestCandidates(
  fit: FilmFit,
  habits: Habits,
  settings: AdviseSettings,
  to: Lab,
  most: number,
): Candidate[] {
  const net = netOf(habits, settings, likelyRatios(fit, habits, settings, to));
  const labs = coloursOf(fit, habits, net);
  const off = roughDistances(labs, to);
  const limit = off.slice().sort()[Math.min(SIEVED * most, net.count) - 1];
  const terms = new Float64Array(3);
  const near: { index: number; de00: number }[] = [];
  off.forEach((rough, index) => {
    if (rough > limit) return;
    const [l, a, b] = labs.subarray(3 * index, 3 * index + 3);
    near.push({ index, de00: ciede2000(l, a, b, to[0], to[1], to[2], terms) });
  });
  return near
    .sort((a, b) => a.de00 - b.de00)
    .slice(0, most)
    .map(({ index, de00 }) => ({
      recipe: net.recipe(index),
      lab: [labs[3 * index], labs[3 * index + 1], labs[3 * index + 2]],
      de00,
    }));
}

/** The ratios whose colours come nearest at the usual letdown: other letdowns of the rest are not worth a look. */
function likelyRatios(fit: FilmFit, habits: Habits, settings: AdviseSettings, to: Lab): Net['ratios'] {
  const net = netOf({ ...habits, carriers: [fit.model.usual.carrier] }, settings);
  if (net.ratios.length <= LOOKED_INTO) return net.ratios;
  const off = roughDistances(coloursOf(fit, habits, net), to);
  const each = net.count / net.ratios.length;
  return net.ratios
    .map((ratio, i) => ({
      ratio,
      off: off.subarray(i * each, (i + 1) * each).reduce((a, b) => Math.min(a, b)),
    }))
    .sort((a, b) => a.off - b.off)
    .slice(0, LOOKED_INTO)
    .map(({ ratio }) => ratio);
}

/** Lab of every recipe of a net: count × 3. */
function coloursOf({ model, state }: FilmFit, habits: Habits, net: Net): Float64Array {
  const grounds = habits.grounds.map((g) => model.grounds.indexOf(g));
  const each = net.count / net.ratios.length;
  // film amounts depend on letdown and coats alone
  const amounts = Array.from({ length: each / grounds.length }, (_, i) =>
    filmAmount(state, compileRecipe(model, net.recipe(i * grounds.length))),
  );
  const labs = new Float64Array(3 * net.count);
  let at = 0;
  net.ratios.forEach((_, ratio) => {
    const { fractions } = compileRecipe(model, net.recipe(ratio * each));
    const absorbance = mixAbsorbance(model, state, fractions);
    for (const amount of amounts) {
      const film = throughFilm(state, absorbance, amount);
      for (const ground of grounds) {
        labs.set(colourOver(model, state, film, ground, habits.clear), at);
        at += 3;
      }
    }
  });
  return labs;
}

/** Squared distances in the local ΔE2000 frame of `to`: quick, and in the right order near it. */
function roughDistances(labs: Float64Array, to: Lab): Float64Array {
  const w = differenceFrame(to);
  const out = new Float64Array(labs.length / 3);
  for (let i = 0; i < out.length; i++) {
    const l = labs[3 * i] - to[0];
    const a = labs[3 * i + 1] - to[1];
    const b = labs[3 * i + 2] - to[2];
    for (let c = 0; c < 3; c++) out[i] += (w[3 * c] * l + w[3 * c + 1] * a + w[3 * c + 2] * b) ** 2;
  }
  return out;
}
