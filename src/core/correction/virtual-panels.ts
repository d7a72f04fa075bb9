/**
 * Virtual panels: reflectances of a few hundred things a painter might lay beside the card. Seen through a
 * fitted camera and light they teach the map from readings to colour. Made up once, from a fixed seed.
 */
import type { Random } from '../math/random.ts';
import { filmOverGround, surfaceReflectance } from '../optics/index.ts';
import { between, hidingLayer, logBetween, madeOnce, N, nmAt, tintAbsorption } from './virtual-absorption.ts';
import { metallicGround } from './virtual-grounds.ts';

const COUNTS = { candy: 360, solid: 90, print: 60 };
const SEED = 20;

function candyPanel(r: Random): Float64Array {
  const tints = 1 + Math.floor(3 * r.uniform());
  const absorbance = new Float64Array(N);
  for (let t = 0; t < tints; t++) {
    const amount = logBetween(r, 0.12, 4.5) / Math.sqrt(tints);
    tintAbsorption(r).forEach((a, i) => {
      absorbance[i] += amount * a;
    });
  }
  const inner = filmOverGround(metallicGround(r), absorbance, logBetween(r, 0.002, 0.03));
  return surfaceReflectance(inner, { f: between(r, 0.002, 0.02), k2: between(r, 0.3, 0.6) });
}

/** A pigmented paint: Kubelka–Munk of white, black and one or two coloured absorptions. */
function solidPaint(r: Random): Float64Array {
  const strength = logBetween(r, 0.03, 12);
  const black = logBetween(r, 0.002, 1.5);
  return hidingLayer(r, tintAbsorption, (_, colour) => black + strength * colour);
}

function printedPatch(r: Random): Float64Array {
  const inks = [
    [620, 55],
    [540, 38],
    [440, 38],
  ].map(([centre, width]) => ({ centre: centre + 10 * r.normal(), width: width * logBetween(r, 0.85, 1.2) }));
  const amounts = inks.map(() => 2.2 * r.uniform() ** 1.5);
  const black = r.uniform() < 0.3 ? 1.5 * r.uniform() : 0;
  const paper = between(r, 0.8, 0.93);
  return Float64Array.from({ length: N }, (_, i) => {
    const d = inks.reduce(
      (s, k, n) => s + amounts[n] * Math.exp(-0.5 * ((nmAt(i) - k.centre) / k.width) ** 2),
      black,
    );
    return paper * Math.exp(-d) + 0.012;
  });
}

/** The virtual panels' reflectances on the core's grid. */
export const virtualPanels = madeOnce(SEED, (r) => [
  ...Array.from({ length: COUNTS.candy }, () => candyPanel(r)),
  ...Array.from({ length: COUNTS.solid }, () => solidPaint(r)),
  ...Array.from({ length: COUNTS.print }, () => printedPatch(r)),
]);
