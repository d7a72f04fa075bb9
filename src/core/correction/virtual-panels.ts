/**
 * Virtual panels: reflectances of a few hundred things a painter might lay beside the card. Seen through a
 * fitted camera and light they teach the map from readings to colour. Made up once, from a fixed seed.
 */
import { GRID } from '../color/spectrum.ts';
import { type Random, seededRandom } from '../math/random.ts';
import { filmOverGround, surfaceReflectance } from '../optics/index.ts';

const N = GRID.count;
const COUNTS = { candy: 360, solid: 90, print: 60 };
const SEED = 20;

const nmAt = (i: number): number => GRID.start_nm + i * GRID.step_nm;
const between = (r: Random, lo: number, hi: number): number => lo + (hi - lo) * r.uniform();
const logBetween = (r: Random, lo: number, hi: number): number =>
  Math.exp(between(r, Math.log(lo), Math.log(hi)));

/**
 * Absorption of a transparent tint, its main band near 1: a band somewhere in the visible, most often a shoulder
 * beside it and a second band at the violet end; now and then an edge, as pigments and yellow dyes have.
 */
function tintAbsorption(r: Random): Float64Array {
  const a = new Float64Array(N);
  if (r.uniform() < 0.2) addEdge(a, r);
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

function addEdge(a: Float64Array, r: Random): void {
  const edge = between(r, 440, 600);
  const width = logBetween(r, 10, 28);
  const fade = between(r, 0, 0.7);
  for (let i = 0; i < N; i++) {
    const short = 1 - fade * Math.max(0, (edge - nmAt(i)) / 200);
    a[i] += short / (1 + Math.exp((nmAt(i) - edge) / width));
  }
}

function addBand(a: Float64Array, r: Random, centre: number, height: number): void {
  const left = logBetween(r, 26, 56);
  const right = left * logBetween(r, 0.65, 1.45);
  for (let i = 0; i < N; i++) {
    const d = nmAt(i) - centre;
    a[i] += height * Math.exp(-0.5 * (d / (d < 0 ? left : right)) ** 2);
  }
}

/** A metallic ground, bright silver to graphite, plain or warm. */
function metallicGround(r: Random): Float64Array {
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
  const first = tintAbsorption(r);
  const second = r.uniform() < 0.4 ? tintAbsorption(r) : new Float64Array(N);
  const inner = Float64Array.from({ length: N }, (_, i) => {
    const ks = black + strength * (first[i] + 0.5 * second[i]);
    return 1 + ks - Math.sqrt(ks * ks + 2 * ks);
  });
  return surfaceReflectance(inner, { f: between(r, 0.005, 0.03), k2: 0.55 });
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

let made: readonly Float64Array[] | undefined;

/** The virtual panels' reflectances on the core's grid. */
export function virtualPanels(): readonly Float64Array[] {
  if (made) return made;
  const r = seededRandom(SEED);
  made = [
    ...Array.from({ length: COUNTS.candy }, () => candyPanel(r)),
    ...Array.from({ length: COUNTS.solid }, () => solidPaint(r)),
    ...Array.from({ length: COUNTS.print }, () => printedPatch(r)),
  ];
  return made;
}
