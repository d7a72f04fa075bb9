import illuminants from '../../../shared/tables/illuminants.json' with { type: 'json' };
import observers from '../../../shared/tables/observers.json' with { type: 'json' };

/** CIE 1931 chromaticity. */
export interface Chromaticity {
  readonly x: number;
  readonly y: number;
}

/** Correlated colour temperature and signed distance from the Planckian locus (positive: greener). */
export interface LightColour {
  readonly cct_k: number;
  readonly duv: number;
}

/** McCamy's cubic (Color Res. Appl. 17, 1992), good to some 10 K between 3000 and 8000 K near the locus. */
export function mcCamyCct({ x, y }: Chromaticity): number {
  const n = (x - 0.332) / (0.1858 - y);
  return ((449 * n + 3525) * n + 6823.3) * n + 5520.33;
}

/** Chromaticity of CIE daylight, 4000–25000 K (CIE 15:2018, 4.1.2). */
export function daylightChromaticity(cct_k: number): Chromaticity {
  if (!(cct_k >= 4000 && cct_k <= 25000))
    throw new RangeError('CIE daylight is defined from 4000 to 25000 K');
  const t = 1000 / cct_k;
  const x =
    cct_k <= 7000
      ? ((-4.607 * t + 2.9678) * t + 0.09911) * t + 0.244063
      : ((-2.0064 * t + 1.9018) * t + 0.24748) * t + 0.23704;
  return { x, y: (-3 * x + 2.87) * x - 0.275 };
}

/** Relative power of CIE daylight, 380–730 nm in 5 nm steps (CIE 15:2018, 4.1.2). */
export function daylightPower(cct_k: number): Float64Array {
  const { x, y } = daylightChromaticity(cct_k);
  const m = 0.0241 + 0.2562 * x - 0.7341 * y;
  const m1 = (-1.3515 - 1.7703 * x + 5.9114 * y) / m;
  const m2 = (0.03 - 31.4424 * x + 30.0717 * y) / m;
  const { S0, S1, S2 } = illuminants.daylight_basis;
  return Float64Array.from(S0, (s, i) => s + m1 * S1[i] + m2 * S2[i]);
}

/** Relative power of a Planckian radiator (c₂ = 1.4388e-2 m·K), 380–730 nm in 5 nm steps, 1 at 560 nm. */
export function planckPower(cct_k: number): Float64Array {
  const at = (nm: number): number => (nm * 1e-9) ** -5 / Math.expm1(1.4388e-2 / (nm * 1e-9 * cct_k));
  const scale = at(560);
  return Float64Array.from({ length: 71 }, (_, i) => at(380 + 5 * i) / scale);
}

/** Chromaticity of a light given as 71 values, 380–730 nm in 5 nm steps, for the 2° observer. */
export function chromaticityOfPower(power: ArrayLike<number>): Chromaticity {
  const [bx, by, bz] = observers.observers['2'];
  let X = 0;
  let Y = 0;
  let Z = 0;
  for (let i = 0; i < bx.length; i++) {
    X += bx[i] * power[i];
    Y += by[i] * power[i];
    Z += bz[i] * power[i];
  }
  return { x: X / (X + Y + Z), y: Y / (X + Y + Z) };
}

function uv1960({ x, y }: Chromaticity): readonly [number, number] {
  const d = -2 * x + 12 * y + 3;
  return [(4 * x) / d, (6 * y) / d];
}

function locusDistance(cct_k: number, u: number, v: number): number {
  const [lu, lv] = uv1960(chromaticityOfPower(planckPower(cct_k)));
  return Math.hypot(u - lu, v - lv);
}

/** CCT and Duv by search for the nearest Planckian radiator in CIE 1960 u,v, 1000–25000 K (Ohno, LEUKOS 10, 2014). */
export function lightColour(c: Chromaticity): LightColour {
  const [u, v] = uv1960(c);
  // golden-section search over reciprocal megakelvin, in which the locus runs nearly evenly
  let lo = 40;
  let hi = 1000;
  const phi = (Math.sqrt(5) - 1) / 2;
  const f = (mired: number): number => locusDistance(1e6 / mired, u, v);
  let a = hi - phi * (hi - lo);
  let b = lo + phi * (hi - lo);
  let fa = f(a);
  let fb = f(b);
  while (hi - lo > 1e-4) {
    if (fa < fb) {
      hi = b;
      b = a;
      fb = fa;
      a = hi - phi * (hi - lo);
      fa = f(a);
    } else {
      lo = a;
      a = b;
      fa = fb;
      b = lo + phi * (hi - lo);
      fb = f(b);
    }
  }
  const cct_k = 2e6 / (lo + hi);
  const [, lv] = uv1960(chromaticityOfPower(planckPower(cct_k)));
  return { cct_k, duv: Math.sign(v - lv) * locusDistance(cct_k, u, v) };
}
