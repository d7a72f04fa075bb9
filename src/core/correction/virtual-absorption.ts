/** What the virtual panels and paints are made of: absorptions of made-up tints and pigments. */
import { GRID } from '../color/spectrum.ts';
import { type Random, seededRandom } from '../math/random.ts';
import { hidingReflectance, surfaceReflectance } from '../optics/index.ts';

export const N = GRID.count;

export const nmAt = (i: number): number => GRID.start_nm + i * GRID.step_nm;
export const between = (r: Random, lo: number, hi: number): number => lo + (hi - lo) * r.uniform();
export const logBetween = (r: Random, lo: number, hi: number): number =>
  Math.exp(between(r, Math.log(lo), Math.log(hi)));

/** Reflectances made up from a fixed seed, when they are asked for first. */
export function madeOnce(
  seed: number,
  make: (r: Random) => readonly Float64Array[],
): () => readonly Float64Array[] {
  let made: readonly Float64Array[] | undefined;
  return () => {
    made ??= make(seededRandom(seed));
    return made;
  };
}

/**
 * Absorption of a transparent tint, its main band near 1: a band somewhere in the visible, most often a shoulder
 * beside it and a second band at the violet end; now and then an edge, as pigments and yellow dyes have.
 */
export function tintAbsorption(r: Random): Float64Array {
  const a = new Float64Array(N);
  if (r.uniform() < 0.2) addEdge(a, r, { upTo_nm: 600, least_nm: 10 });
  else {
    const centre = between(r, 420, 665);
    addBand(a, r, centre, 1);
    if (r.uniform() < 0.6)
      addBand(a, r, centre + between(r, 25, 70) * (r.uniform() < 0.5 ? -1 : 1), between(r, 0.1, 0.6));
    if (r.uniform() < 0.75) addBand(a, r, between(r, 370, 435), between(r, 0.1, 0.9));
  }
  const haze = 0.05 * r.uniform();
  return a.map((v) => v + haze);
}

interface EdgeRange {
  readonly upTo_nm: number;
  readonly least_nm: number;
}

/** An edge between 440 nm and `upTo_nm`, at least as steep as `least_nm` wide. */
export function addEdge(a: Float64Array, r: Random, { upTo_nm, least_nm }: EdgeRange): void {
  const edge = between(r, 440, upTo_nm);
  const width = logBetween(r, least_nm, 28);
  const fade = between(r, 0, 0.7);
  for (let i = 0; i < N; i++) {
    const short = 1 - fade * Math.max(0, (edge - nmAt(i)) / 200);
    a[i] += short / (1 + Math.exp((nmAt(i) - edge) / width));
  }
}

export function addBand(a: Float64Array, r: Random, centre: number, height: number): void {
  const left = logBetween(r, 26, 56);
  const right = left * logBetween(r, 0.65, 1.45);
  for (let i = 0; i < N; i++) {
    const d = nmAt(i) - centre;
    a[i] += height * Math.exp(-0.5 * (d / (d < 0 ? left : right)) ** 2);
  }
}

/** Light out of a hiding layer (Kubelka–Munk) of one or two pigments, `ratio` giving its absorption over its scattering. */
export function hidingLayer(
  r: Random,
  pigment: (r: Random) => Float64Array,
  ratio: (nm: number, colour: number) => number,
): Float64Array {
  const first = pigment(r);
  const second = r.uniform() < 0.4 ? pigment(r) : new Float64Array(N);
  const inner = Float64Array.from({ length: N }, (_, i) =>
    hidingReflectance(ratio(nmAt(i), first[i] + 0.5 * second[i])),
  );
  return surfaceReflectance(inner, { f: between(r, 0.005, 0.03), k2: 0.55 });
}
