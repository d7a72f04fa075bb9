/**
 * A press of four process inks on a matt sheet, as presses are in general: where half tones of the inks fall on one another
 * by chance (Demichel), each of the sixteen solids that arise has its spectrum (Neugebauer), light spreads in the paper (Yule
 * and Nielsen, n = 2), and dots print larger than they are in the file (tone value increase). Inks' bands, densities and the
 * increase are those of coated process inks in round figures, from memory; no printer's own, nor those that the shipped card's
 * stated colours come from (`card/print-model.ts`): whoever prints it has others.
 */
import { GRID, type Lab, labFromXyz, type Viewing, xyzFromReflectance } from '../color/index.ts';
import { cholesky, choleskySolve } from '../math/linear.ts';
import { demichelAreas } from '../optics/index.ts';

const N = GRID.count;
const INKS = 4;
const BLACK = 3;

/** What may change from print to print, by ink. */
export interface PressState {
  /** Full layers' absorbance beside the usual. */
  readonly strength: readonly number[];
  /** Dot area added at half coverage. */
  readonly gain: readonly number[];
  /** Where the ink's main band lies beside the usual, and how wide it is. */
  readonly shift_nm: readonly number[];
  readonly breadth: readonly number[];
}

/** Share of each ink's area, 0–1: cyan, magenta, yellow, black. */
type Coverage = readonly number[];

export const USUAL_PRESS: PressState = {
  strength: [1, 1, 1, 1],
  gain: [0.17, 0.17, 0.17, 0.17],
  shift_nm: [0, 0, 0, 0],
  breadth: [1, 1, 1, 1],
};

/** The usual press but for one ink. */
export function usualBut(what: keyof PressState, ink: number, by: number): PressState {
  return { ...USUAL_PRESS, [what]: USUAL_PRESS[what].map((v, k) => (k === ink ? v + by : v)) };
}

const SURFACE = 0.02;
/** Share of light under a full layer that the layer lets by: it is never quite closed. */
const PINHOLES = 0.02;
const PINHOLE_SHARE = 0.3;
/** Share of a dark grey that is black ink, as far as one can guess. */
const BLACK_SHARE = 0.5;

/** Natural absorbance of full layers at a wavelength, with the main band moved and broadened. */
const ABSORBANCE: readonly ((nm: number, shift_nm: number, breadth: number) => number)[] = [
  (nm, shift, b) => 2.5 * (bell(nm, 625 + shift, 55 * b, 60 * b) + 0.06),
  (nm, shift, b) => 2.6 * (bell(nm, 550 + shift, 40 * b, 25 * b) + 0.2 * bell(nm, 420, 50, 50)),
  (nm, shift, b) => 2.4 * bell(nm, 430 + shift, 60 * b, 40 * b),
  () => 3.2,
];

export function overGrid(f: (nm: number) => number): Float64Array {
  return Float64Array.from({ length: N }, (_, i) => f(GRID.start_nm + i * GRID.step_nm));
}

export function bell(nm: number, peak: number, below: number, above: number): number {
  return Math.exp(-0.5 * ((nm - peak) / (nm < peak ? below : above)) ** 2);
}

/** A press printing on some paper. */
export interface Press {
  /** Square roots (for n = 2) of the sixteen solids' reflectances, by which inks they have. */
  readonly solids: readonly Float64Array[];
  readonly gain: readonly number[];
}

export function pressOn(paper: Float64Array, { strength, gain, shift_nm, breadth }: PressState): Press {
  const layers = ABSORBANCE.map((ink, k) => overGrid((nm) => strength[k] * ink(nm, shift_nm[k], breadth[k])));
  const solids = Array.from({ length: 1 << INKS }, (_, inks) =>
    paper.map((p, i) => {
      let a = 0;
      for (let k = 0; k < INKS; k++) if (inks & (1 << k)) a += layers[k][i];
      const through = (1 - PINHOLES) * Math.exp(-a) + PINHOLES * Math.exp(-PINHOLE_SHARE * a);
      return Math.sqrt(Math.max(p - SURFACE, 0.01) * through);
    }),
  );
  return { solids, gain };
}

/** Reflectance of an area of given coverages. */
export function printed({ solids, gain }: Press, coverage: Coverage): Float64Array {
  const areas = demichelAreas(coverage.map((c, k) => Math.min(1, c + 4 * gain[k] * c * (1 - c))));
  const sum = new Float64Array(N);
  for (let inks = 0; inks < areas.length; inks++) addShare(sum, solids[inks], areas[inks]);
  for (let i = 0; i < N; i++) sum[i] = SURFACE + sum[i] * sum[i];
  return sum;
}

function addShare(sum: Float64Array, solid: Float64Array, share: number): void {
  if (share > 0) for (let i = 0; i < N; i++) sum[i] += share * solid[i];
}

const STEPS = 8;
/** ΔE*ab; how a patch changes with the print hardly hangs on its coverages. */
const NEAR_ENOUGH = 0.5;

/** The coverages that come nearest to a Lab, with the usual share of black: damped Gauss–Newton over the other inks. */
export function separated(press: Press, lab: Lab, under: Viewing): Coverage {
  const offAt = (coverage: Coverage): number[] =>
    labFromXyz(xyzFromReflectance(printed(press, coverage), under), under.white).map((v, a) => v - lab[a]);
  const dark = Math.max(0, Math.min(1, 1 - lab[0] / 95));
  const black = BLACK_SHARE * dark ** 1.5 * Math.exp(-((Math.hypot(lab[1], lab[2]) / 40) ** 2));
  let at: Coverage = [0.5 * dark, 0.5 * dark, 0.5 * dark, black];
  let off = offAt(at);
  let slopes = slopesAt(at, off, offAt);
  let damping = 10;
  for (let step = 0; step < STEPS && Math.hypot(...off) > NEAR_ENOUGH; step++) {
    const move = stepOf(slopes, off, damping);
    const next = at.map((v, k) => (k === BLACK ? v : Math.max(0, Math.min(1, v + move[k]))));
    const nextOff = offAt(next);
    if (Math.hypot(...nextOff) >= Math.hypot(...off)) {
      damping *= 8;
      continue;
    }
    at = next;
    off = nextOff;
    damping = Math.max(1, damping / 4);
    slopes = slopesAt(at, off, offAt);
  }
  return at;
}

function slopesAt(at: Coverage, off: readonly number[], offAt: (coverage: Coverage) => number[]): number[][] {
  return [0, 1, 2].map((k) => {
    const h = at[k] > 0.5 ? -0.01 : 0.01;
    return offAt(at.map((v, j) => (j === k ? v + h : v))).map((v, a) => (v - off[a]) / h);
  });
}

function stepOf(
  slopes: readonly (readonly number[])[],
  off: readonly number[],
  damping: number,
): Float64Array {
  const dot = (a: readonly number[], b: readonly number[]): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  const normal = Float64Array.from({ length: 9 }, (_, e) => {
    const [p, q] = [Math.floor(e / 3), e % 3];
    return dot(slopes[p], slopes[q]) + (p === q ? damping : 0);
  });
  return choleskySolve(
    cholesky(normal, 3),
    3,
    Float64Array.from(slopes, (s) => -dot(s, off)),
  );
}
