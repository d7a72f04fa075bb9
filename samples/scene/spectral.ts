import { differenceCiede2000, modeLab65, useMode } from 'culori/fn';
import illuminants from '../../shared/tables/illuminants.json' with { type: 'json' };
import observers from '../../shared/tables/observers.json' with { type: 'json' };

/** The scenes' wavelength grid: 71 values, 380–730 nm in 5 nm steps. */
export const NM: readonly number[] = Array.from({ length: 71 }, (_, i) => 380 + 5 * i);
export type Spectrum71 = Float64Array;
export type Triple = readonly [number, number, number];

export const BARS = observers.observers['2'];
export const TABLE_LIGHTS = illuminants.illuminants;
export const DAYLIGHT_BASIS = illuminants.daylight_basis;

export function spectrumOf(at: (nm: number, i: number) => number): Spectrum71 {
  return Float64Array.from(NM, at);
}

/** Value at any wavelength, linear between nodes, ends held. */
export function valueAt(s: ArrayLike<number>, nm: number): number {
  const x = Math.min(70, Math.max(0, (nm - 380) / 5));
  const i = Math.min(69, Math.floor(x));
  return s[i] + (x - i) * (s[i + 1] - s[i]);
}

export function gaussian(nm: number, peak: number, sd: number): number {
  return Math.exp(-0.5 * ((nm - peak) / sd) ** 2);
}

/** Bell with a width of its own on either side. */
export function skewBell(nm: number, peak: number, sdLeft: number, sdRight: number): number {
  return gaussian(nm, peak, nm < peak ? sdLeft : sdRight);
}

/** Rises from 0 to 1 around `nm0`; `width` is the rise from 12 to 88 % divided by four. */
export function edge(nm: number, nm0: number, width: number): number {
  return 1 / (1 + Math.exp(-(nm - nm0) / width));
}

/** XYZ of a reflectance under a power table, 2° observer, Y = 1 for the perfect diffuser. */
export function xyzUnder(power: ArrayLike<number>, reflectance: ArrayLike<number>): Triple {
  let x = 0;
  let y = 0;
  let z = 0;
  let k = 0;
  for (let i = 0; i < 71; i++) {
    const p = power[i] * reflectance[i];
    x += p * BARS[0][i];
    y += p * BARS[1][i];
    z += p * BARS[2][i];
    k += power[i] * BARS[1][i];
  }
  return [x / k, y / k, z / k];
}

const ONES = new Float64Array(71).fill(1);
export function whiteOf(power: ArrayLike<number>): Triple {
  return xyzUnder(power, ONES);
}

const f = (t: number): number => (t > 216 / 24389 ? Math.cbrt(t) : (24389 / 27 / 116) * t + 16 / 116);

/** CIELAB (CIE 15:2018, 8.2.1). */
export function labOf(xyz: Triple, white: Triple): Triple {
  const fx = f(xyz[0] / white[0]);
  const fy = f(xyz[1] / white[1]);
  const fz = f(xyz[2] / white[2]);
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

export const D50_POWER = TABLE_LIGHTS.D50;
export const D50_WHITE = whiteOf(D50_POWER);

const D50_SUM = D50_POWER.reduce((sum, p, i) => sum + p * BARS[1][i], 0);
const D50_WEIGHTS = BARS.map((bar) => Float64Array.from(bar, (b, i) => (b * D50_POWER[i]) / D50_SUM));

/** CIELAB under D50 and the 2° observer. */
export function labD50(reflectance: ArrayLike<number>): Triple {
  const [wx, wy, wz] = D50_WEIGHTS;
  let x = 0;
  let y = 0;
  let z = 0;
  for (let i = 0; i < 71; i++) {
    x += wx[i] * reflectance[i];
    y += wy[i] * reflectance[i];
    z += wz[i] * reflectance[i];
  }
  return labOf([x, y, z], D50_WHITE);
}

useMode(modeLab65);
const ciede2000 = differenceCiede2000(1, 1, 1);
/** CIEDE2000, kL = kC = kH = 1. */
export function de00(p: Triple, q: Triple): number {
  return ciede2000(
    { mode: 'lab65', l: p[0], a: p[1], b: p[2] },
    { mode: 'lab65', l: q[0], a: q[1], b: q[2] },
  );
}

/** Chromaticity of a power table, 2° observer. */
export function chromaticity(power: ArrayLike<number>): readonly [number, number] {
  const [x, y, z] = whiteOf(power);
  return [x / (x + y + z), y / (x + y + z)];
}

export function uv1960([x, y]: readonly [number, number]): readonly [number, number] {
  const d = -2 * x + 12 * y + 3;
  return [(4 * x) / d, (6 * y) / d];
}

export function xyFromUv1960(u: number, v: number): readonly [number, number] {
  const d = 2 * u - 8 * v + 4;
  return [(3 * u) / d, (2 * v) / d];
}

/** Planckian radiator, c₂ = 1.4388e-2 m·K. */
export function planck(cct_k: number): Spectrum71 {
  const at = (nm: number): number => (nm / 560) ** -5 / Math.expm1(1.4388e7 / (nm * cct_k));
  return spectrumOf((nm) => at(nm) / at(560));
}

/** CIE daylight of a correlated colour temperature of 4000–25000 K (CIE 15:2018, 4.1.2). */
export function daylight(cct_k: number): Spectrum71 {
  const [x, y] = daylightXy(cct_k);
  const m = 0.0241 + 0.2562 * x - 0.7341 * y;
  const m1 = (-1.3515 - 1.7703 * x + 5.9114 * y) / m;
  const m2 = (0.03 - 31.4424 * x + 30.0717 * y) / m;
  const { S0, S1, S2 } = DAYLIGHT_BASIS;
  return spectrumOf((_, i) => S0[i] + m1 * S1[i] + m2 * S2[i]);
}

/** Chromaticity of CIE daylight (CIE 15:2018, equations 4.7 to 4.9). */
export function daylightXy(cct_k: number): readonly [number, number] {
  const c = 1000 / cct_k;
  const x =
    cct_k <= 7000
      ? 0.244063 + 0.09911 * c + 2.9678 * c ** 2 - 4.607 * c ** 3
      : 0.23704 + 0.24748 * c + 1.9018 * c ** 2 - 2.0064 * c ** 3;
  return [x, -3 * x * x + 2.87 * x - 0.275];
}

/** Correlated colour temperature and Duv: the nearest Planckian radiator in u, v of 1960 by a three-pass grid search. */
export function cctDuv(power: ArrayLike<number>): { readonly cct_k: number; readonly duv: number } {
  const [u, v] = uv1960(chromaticity(power));
  let lo = 50;
  let hi = 800;
  let best = lo;
  for (let pass = 0; pass < 5; pass++) {
    const step = (hi - lo) / 20;
    let least = Number.POSITIVE_INFINITY;
    for (let m = lo; m <= hi + 1e-9; m += step) {
      const [pu, pv] = uv1960(chromaticity(planck(1e6 / m)));
      const d = Math.hypot(u - pu, v - pv);
      if (d < least) {
        least = d;
        best = m;
      }
    }
    lo = best - step;
    hi = best + step;
  }
  const [pu, pv] = uv1960(chromaticity(planck(1e6 / best)));
  return { cct_k: 1e6 / best, duv: Math.sign(v - pv) * Math.hypot(u - pu, v - pv) };
}

/** Smooth random curve over the grid, standard deviation `sd`, correlation length in nm. */
export function smoothNoise(normal: () => number, sd: number, length_nm: number): Spectrum71 {
  const bells = bellsOf(length_nm);
  const out = new Float64Array(71);
  for (const bell of bells) {
    const z = sd * normal();
    for (let i = 0; i < 71; i++) out[i] += z * bell[i];
  }
  return out;
}

const bellCache = new Map<number, readonly Spectrum71[]>();

/** Bells one length apart whose squares sum to 1 at every wavelength. */
function bellsOf(length_nm: number): readonly Spectrum71[] {
  const known = bellCache.get(length_nm);
  if (known) return known;
  const peaks: number[] = [];
  for (let nm = 380 - 2 * length_nm; nm <= 730 + 2 * length_nm; nm += length_nm) peaks.push(nm);
  const raw = peaks.map((peak) => spectrumOf((nm) => gaussian(nm, peak, 0.85 * length_nm)));
  const norm = spectrumOf((_, i) => Math.sqrt(raw.reduce((sum, b) => sum + b[i] * b[i], 0)));
  const bells = raw.map((b) => b.map((v, i) => v / norm[i]));
  bellCache.set(length_nm, bells);
  return bells;
}
