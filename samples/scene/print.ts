/** The printed card of a scene: its own inks on its own paper, with what goes wrong in printing. */
import { solve } from './matrix.ts';
import type { SceneRandom } from './random.ts';
import {
  edge,
  gaussian,
  labD50,
  type Spectrum71,
  skewBell,
  smoothNoise,
  spectrumOf,
  type Triple,
} from './spectral.ts';

/** Ink coverages 0–1: cyan, magenta, yellow, black. */
export type Coverage = readonly [number, number, number, number];

/** One printer, paper and day. */
export interface PrintStock {
  readonly paper: Spectrum71;
  /** Absorbance (natural) of the full ink layers. */
  readonly inks: readonly [Spectrum71, Spectrum71, Spectrum71, Spectrum71];
  /** Dot gain: printed area at half coverage minus .5, per ink. */
  readonly gain: Coverage;
  /** Yule–Nielsen factor. */
  readonly n: number;
  /** Light that the matt sheet's surface sends back. */
  readonly surface: number;
}

/** A random printer and matt paper. */
export function makeStock(random: SceneRandom): PrintStock {
  const n = (mean: number, sd: number): number => random.normal(mean, sd);
  const level = random.between(0.87, 0.94);
  const foot = n(407, 4);
  const cream = random.between(0, 0.05);
  const paper = spectrumOf(
    (nm) => level * (0.35 + 0.65 * edge(nm, foot, 7)) * (1 - cream * (1 - edge(nm, 500, 40))),
  );
  const shift = [n(0, 4), n(0, 4), n(0, 4)];
  const density = [n(2.6, 0.2), n(2.7, 0.2), n(2.5, 0.2), n(3.2, 0.25)];
  const cyan = spectrumOf(
    (nm) =>
      skewBell(nm, 628 + shift[0], 62, 48) +
      0.25 * gaussian(nm, 690, 35) +
      0.09 * gaussian(nm, 400, 50) +
      0.04,
  );
  const magenta = spectrumOf(
    (nm) => skewBell(nm, 556 + shift[1], 46, 24) + 0.4 * gaussian(nm, 515, 22) + 0.22 * gaussian(nm, 410, 50),
  );
  const yellow = spectrumOf((nm) => skewBell(nm, 438 + shift[2], 45, 38) + 0.015);
  const black = spectrumOf((nm) => 1 - 0.1 * edge(nm, 640, 60));
  const inks = [cyan, magenta, yellow, black].map((ink, k) => {
    const top = Math.max(...ink);
    return ink.map((v) => (density[k] * v) / top);
  });
  return {
    paper,
    inks: inks as unknown as PrintStock['inks'],
    gain: [n(0.16, 0.03), n(0.16, 0.03), n(0.16, 0.03), n(0.18, 0.03)],
    n: random.between(1.6, 2.2),
    surface: random.between(0.018, 0.032),
  };
}

/** The same printer on another day: ink strengths, dot gain and paper drift by `scale`. */
export function driftStock(stock: PrintStock, scale: number, random: SceneRandom): PrintStock {
  const strength = [0, 1, 2, 3].map(() => Math.exp(random.normal(0, 0.09 * scale)));
  const shared = random.normal(0, 0.025 * scale);
  const gain = stock.gain.map((g) => g + shared + random.normal(0, 0.02 * scale));
  const tint = smoothNoise(() => random.normal(0, 1), 0.012 * scale, 110);
  return {
    ...stock,
    paper: stock.paper.map((v, i) => v * Math.exp(tint[i])),
    inks: stock.inks.map((ink, k) => ink.map((v) => v * strength[k])) as unknown as PrintStock['inks'],
    gain: gain as unknown as Coverage,
  };
}

/** Spectrum of a coverage: Neugebauer's sixteen primaries mixed by Demichel, with Yule and Nielsen's factor. */
export function printer(stock: PrintStock): (coverage: Coverage) => Spectrum71 {
  const primaries = Array.from({ length: 16 }, (_, bits) =>
    spectrumOf((_, i) => {
      let a = 0;
      // later layers trap a little less well
      let trap = 1;
      for (let k = 0; k < 4; k++)
        if (bits & (1 << k)) {
          a += trap * stock.inks[k][i];
          trap *= 0.93;
        }
      const inner = stock.paper[i] * (0.985 * Math.exp(-a) + 0.015 * Math.exp(-0.3 * a));
      return inner ** (1 / stock.n);
    }),
  );
  return (coverage) => {
    const printed = coverage.map((c, k) => {
      const t = Math.min(1, Math.max(0, c));
      return Math.min(1, t + 4 * stock.gain[k] * t * (1 - t));
    });
    const sum = new Float64Array(71);
    for (let bits = 0; bits < 16; bits++) {
      let w = 1;
      for (let k = 0; k < 4; k++) w *= bits & (1 << k) ? printed[k] : 1 - printed[k];
      if (w === 0) continue;
      const p = primaries[bits];
      for (let i = 0; i < 71; i++) sum[i] += w * p[i];
    }
    for (let i = 0; i < 71; i++) sum[i] = stock.surface + (1 - stock.surface) * sum[i] ** stock.n;
    return sum;
  };
}

/** Coverages that come nearest to a Lab: damped Gauss–Newton over cyan, magenta and yellow for a given share of black. */
export function separate(
  print: (coverage: Coverage) => Spectrum71,
  lab: Triple,
  blackShare: number,
): { readonly coverage: Coverage; readonly spectrum: Spectrum71 } {
  const chroma = Math.hypot(lab[1], lab[2]);
  const dark = Math.max(0, Math.min(1, 1 - lab[0] / 92));
  const black = blackShare * dark ** 1.6 * Math.exp(-((chroma / 45) ** 2));
  let at = [0.5 * dark, 0.5 * dark, 0.5 * dark];
  let spectrum = print([at[0], at[1], at[2], black]);
  const miss = (s: Spectrum71): number[] => labD50(s).map((v, i) => v - lab[i]);
  const cost = (r: number[]): number => r[0] ** 2 + r[1] ** 2 + r[2] ** 2;
  let r = miss(spectrum);
  let damping = 1e-2;
  for (let step = 0; step < 30 && cost(r) > 1e-4; step++) {
    const columns = at.map((v, k) => {
      const h = v > 0.5 ? -0.01 : 0.01;
      const moved = [...at];
      moved[k] += h;
      return miss(print([moved[0], moved[1], moved[2], black])).map((m, i) => (m - r[i]) / h);
    });
    const normal = columns.map((a, i) =>
      columns.map((b, j) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2] + (i === j ? damping * 300 : 0)),
    );
    const move = solve(
      normal,
      columns.map((a) => -(a[0] * r[0] + a[1] * r[1] + a[2] * r[2])),
    );
    const next = at.map((v, k) => Math.min(1, Math.max(0, v + move[k])));
    const nextSpectrum = print([next[0], next[1], next[2], black]);
    const nextMiss = miss(nextSpectrum);
    if (cost(nextMiss) < cost(r)) {
      at = next;
      spectrum = nextSpectrum;
      r = nextMiss;
      damping /= 4;
    } else {
      damping *= 6;
      if (damping > 1e6) break;
    }
  }
  return { coverage: [at[0], at[1], at[2], black], spectrum };
}

const BUMPS = [445, 540, 615].map((peak) => spectrumOf((nm) => gaussian(nm, peak, 45)));

/** Three broad log-reflectance bumps that take a spectrum to exactly the wanted Lab under D50. */
export function bendTo(spectrum: Spectrum71, lab: Triple): Float64Array {
  let bend: Float64Array = new Float64Array(71);
  for (let step = 0; step < 8; step++) {
    const now = labD50(spectrum.map((v, i) => v * Math.exp(bend[i])));
    const miss = now.map((v, i) => v - lab[i]);
    if (Math.hypot(...miss) < 1e-4) break;
    const columns = BUMPS.map((b) =>
      labD50(spectrum.map((v, i) => v * Math.exp(bend[i] + 1e-3 * b[i]))).map((v, i) => (v - now[i]) / 1e-3),
    );
    const k = solve(
      [0, 1, 2].map((row) => columns.map((c) => c[row])),
      miss.map((m) => -m),
    );
    bend = bend.map(
      (v, i) => v + BUMPS.reduce((sum, b, j) => sum + Math.max(-1, Math.min(1, k[j])) * b[i], 0),
    );
  }
  return bend;
}
