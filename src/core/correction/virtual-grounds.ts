/**
 * Virtual grounds: reflectances of metallic grounds with nothing but clear over them. They teach no map; how they lie about one says
 * how far a panel may lie that is noted as bare: not as far as a film of tints whose reading is the same.
 */
import type { Random } from '../math/random.ts';
import { surfaceReflectance } from '../optics/index.ts';
import { between, logBetween, madeOnce, N, nmAt, tintAbsorption } from './virtual-absorption.ts';

export const GROUND_COUNT = 160;
const SEED = 22;
/** Grounds with a pigment of some colour among their flakes. */
const COLOURED_SHARE = 0.4;

/** A metallic ground, bright silver to graphite, plain or warm. */
export function metallicGround(r: Random): Float64Array {
  const level = between(r, 0.12, 0.9);
  const slope = 0.1 * r.normal();
  const warm = r.uniform() < 0.35 ? between(r, 0.2, 1.2) : 0;
  const edge = between(r, 480, 580);
  return Float64Array.from({ length: N }, (_, i) => {
    const x = (nmAt(i) - 555) / 175;
    const cut = warm / (1 + Math.exp((nmAt(i) - edge) / 30));
    return Math.min(0.97, level * Math.exp(slope * x - cut));
  });
}

function bareGround(r: Random): Float64Array {
  const flakes = metallicGround(r);
  const pigment = r.uniform() < COLOURED_SHARE ? logBetween(r, 0.05, 2) : 0;
  const colour = tintAbsorption(r);
  const inner = flakes.map((v, i) => v * Math.exp(-pigment * colour[i]));
  return surfaceReflectance(inner, { f: between(r, 0.002, 0.02), k2: between(r, 0.3, 0.6) });
}

/** The virtual grounds' reflectances on the core's grid. */
export const virtualGrounds = madeOnce(SEED, (r) =>
  Array.from({ length: GROUND_COUNT }, () => bareGround(r)),
);
