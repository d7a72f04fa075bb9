import { GRID } from '../color/index.ts';
import { demichelAreas, yuleNielsenMean } from '../optics/index.ts';

/**
 * A nominal print: four inks as halftone dots on matt paper, by the spectral Neugebauer equations
 * (Neugebauer, Z. wiss. Phot. 36, 1937; dot areas after Demichel) with the Yule–Nielsen exponent for light that
 * spreads in the paper (Yule and Nielsen, TAGA Proc. 1951). The paper and ink bands below are made up to be typical
 * of pigment inks on a matt inkjet paper (from memory, no measured print); a real print differs from them by the
 * `u` that the card definition states.
 */

/** Dot areas 0–1 of cyan, magenta, yellow and black. */
export type InkAreas = readonly [c: number, m: number, y: number, k: number];

/** Yule–Nielsen exponent: 1 is a print without optical dot gain (Murray–Davies), 2 the limit of full spreading. */
export const YULE_NIELSEN_N = 1.8;

/** Part of the light that a matt print sends back from its very surface in a 45/0 reading. */
const SURFACE = 0.008;

const NODES_NM = Array.from({ length: GRID.count }, (_, i) => GRID.start_nm + i * GRID.step_nm);

/** A band of density: a bell with its own width on either side. */
function band(nm: number, peak_nm: number, density: number, below_nm: number, above_nm: number): number {
  const width = nm < peak_nm ? below_nm : above_nm;
  return density * Math.exp(-0.5 * ((nm - peak_nm) / width) ** 2);
}

/** A step of density that falls from `density` to nothing around a wavelength. */
function fall(nm: number, at_nm: number, density: number, width_nm: number): number {
  return density / (1 + Math.exp((nm - at_nm) / width_nm));
}

/** Matt paper with a little brightener: lower in the violet, a faint hump in the blue, flat beyond. */
function paperAt(nm: number): number {
  return 0.895 - 0.5 / (1 + Math.exp((nm - 392) / 12)) + band(nm, 440, 0.018, 18, 26);
}

/** Optical density of the solid inks, there and back. */
const INK_DENSITY: readonly ((nm: number) => number)[] = [
  (nm) => 0.05 + band(nm, 630, 1.25, 56, 100) + band(nm, 385, 0.18, 30, 38),
  (nm) => 0.04 + band(nm, 560, 1.0, 36, 20) + band(nm, 518, 0.8, 38, 24) + band(nm, 390, 0.26, 40, 46),
  (nm) => 0.02 + fall(nm, 494, 1.05, 10),
  (nm) => 1.42 + 0.05 * ((nm - 550) / 170),
];

/** Reflectance of bare paper on the core's grid. */
export const PAPER: Float64Array = Float64Array.from(NODES_NM, paperAt);

/** Reflectance at a wavelength of the solid inks named by the bits of `combination`, one upon the other. */
function solidReflectance(combination: number, nm: number): number {
  const density = INK_DENSITY.reduce((sum, ink, i) => sum + ((combination >> i) & 1 ? ink(nm) : 0), 0);
  return combination === 0 ? paperAt(nm) : SURFACE + (1 - SURFACE) * paperAt(nm) * 10 ** -density;
}

/** The Neugebauer primaries: per grid node, reflectances of the 16 combinations. */
const PRIMARIES = NODES_NM.map((nm) => Float64Array.from({ length: 16 }, (_, j) => solidReflectance(j, nm)));

/** Reflectance 0–1 on the core's grid of a nominal print with these dot areas. */
export function printReflectance(inks: InkAreas): Float64Array {
  const areas = demichelAreas(inks);
  return Float64Array.from(PRIMARIES, (at) => yuleNielsenMean(areas, at, YULE_NIELSEN_N));
}
