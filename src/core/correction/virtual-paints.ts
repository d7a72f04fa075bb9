/**
 * Virtual paints: reflectances of what a customer's sample may be coated with. They teach no map; seen through a fitted
 * camera they show how far a thing of which nothing is known may lie from it. Made up once, from a fixed seed.
 */
import type { Random } from '../math/random.ts';
import {
  addBand,
  addEdge,
  between,
  hidingLayer,
  logBetween,
  madeOnce,
  N,
  tintAbsorption,
} from './virtual-absorption.ts';

const COUNT = 240;
const SEED = 21;

/**
 * A paint of any maker: as the virtual panels' solid paints, but half of its pigments have one edge, as steep as yellow
 * to red pigments have it, and its white takes the violet end away, as titanium dioxide does.
 */
function anyPaint(r: Random): Float64Array {
  const strength = logBetween(r, 0.03, 12);
  const black = logBetween(r, 0.002, 0.6);
  const white = logBetween(r, 0.02, 1);
  return hidingLayer(
    r,
    pigmentAbsorption,
    (nm, colour) => black + white * Math.exp((380 - nm) / 9) + strength * colour,
  );
}

function pigmentAbsorption(r: Random): Float64Array {
  if (r.uniform() < 0.5) return tintAbsorption(r);
  const a = new Float64Array(N);
  addEdge(a, r, { upTo_nm: 625, least_nm: 6 });
  if (r.uniform() < 0.6) addBand(a, r, between(r, 400, 600), between(r, 0.1, 0.6));
  return a;
}

/** The virtual paints' reflectances on the core's grid. */
export const virtualPaints = madeOnce(SEED, (r) => Array.from({ length: COUNT }, () => anyPaint(r)));
