/** Lights of the scenes: daylight, and lamps made up from physics and Gaussian sums, with a few tabulated ones among them. */
import { leastSquares } from './matrix.ts';
import type { SceneRandom } from './random.ts';
import {
  BARS,
  cctDuv,
  chromaticity,
  daylight,
  daylightXy,
  edge,
  gaussian,
  planck,
  type Spectrum71,
  skewBell,
  smoothNoise,
  spectrumOf,
  TABLE_LIGHTS,
  uv1960,
  xyFromUv1960,
} from './spectral.ts';

export const LIGHT_KINDS = ['day', 'warm-led', 'cool-led', 'tri-phosphor', 'lamp'] as const;
export type LightKind = (typeof LIGHT_KINDS)[number] | 'rgb-led';

/** `tune` and `judge` scenes are made by different rules, so that what was set on one is tested on the other. */
export type Family = 'tune' | 'judge';

export interface SceneLight {
  readonly kind: LightKind;
  /** Relative power, 71 values, Y = 1 for the perfect diffuser. */
  readonly power: Spectrum71;
  readonly cct_k: number;
  readonly duv: number;
}

/** A random light of a kind. */
export function makeLight(kind: LightKind, family: Family, random: SceneRandom): SceneLight {
  return lightOf(kind, MAKERS[kind](family, random));
}

/** A light of a given power table, such as a tabulated illuminant. */
export function lightOf(kind: LightKind, table: ArrayLike<number>): SceneLight {
  const floor = 1e-4 * Math.max(...Array.from(table));
  const lifted = Float64Array.from(table, (p) => Math.max(p, floor));
  const y = lifted.reduce((sum, p, i) => sum + p * BARS[1][i], 0);
  const power = lifted.map((p) => p / y);
  return { kind, power, ...cctDuv(power) };
}

type Maker = (family: Family, random: SceneRandom) => Spectrum71;

const day: Maker = (family, random) => {
  const cct = family === 'tune' ? random.between(4600, 7200) : 1e6 / random.between(118, 226);
  const sky = daylight(cct);
  // walls, trees and clouds tint the sky's light
  const tint = smoothNoise(() => random.normal(0, 1), family === 'tune' ? 0.015 : 0.025, 90);
  return sky.map((p, i) => p * Math.exp(tint[i]));
};

const lamp: Maker = (family, random) => {
  const base =
    family === 'tune' && random.chance(0.2)
      ? Float64Array.from(TABLE_LIGHTS.A)
      : planck(family === 'tune' ? random.between(2550, 3050) : random.between(2400, 3300));
  const filter = smoothNoise(() => random.normal(0, 1), 0.02, 110);
  // a cool-beam reflector lets the deep red out at the back
  const coolBeam = family === 'judge' && random.chance(0.3) ? random.between(0.1, 0.4) : 0;
  return spectrumOf((nm, i) => base[i] * Math.exp(filter[i]) * (1 - coolBeam * edge(nm, 685, 14)));
};

/** Mixes parts so that the sum has the wanted chromaticity; null when a part would have to be negative. */
function mixTo(
  parts: readonly Spectrum71[],
  [x, y]: readonly [number, number],
  base?: Spectrum71,
): Spectrum71 | null {
  const moments = (s: Spectrum71): number[] =>
    [0, 1, 2].map((c) => s.reduce((sum, p, i) => sum + p * BARS[c][i], 0));
  const wanted = [x / y, 1, (1 - x - y) / y];
  const fixed = base ? moments(base) : [0, 0, 0];
  const columns = parts.map(moments);
  const rows = [0, 1, 2].map((c) => columns.map((m) => m[c]));
  const amounts = leastSquares(
    rows,
    wanted.map((w, c) => w - fixed[c]),
  );
  if (amounts.some((a) => a < 0)) return null;
  return spectrumOf((_, i) => amounts.reduce((sum, a, k) => sum + a * parts[k][i], base?.[i] ?? 0));
}

/** Chromaticity near the white locus: Planckian below 4500 K, daylight above, `duv` off it. */
function whitePoint(cct_k: number, duv: number): readonly [number, number] {
  const xy = cct_k < 4500 ? chromaticity(planck(cct_k)) : daylightXy(cct_k);
  const [u, v] = uv1960(xy);
  return xyFromUv1960(u, v + duv);
}

function phosphorLed(cctRange: readonly [number, number], tables: readonly (readonly number[])[]): Maker {
  return (family, random) => {
    if (family === 'tune' && random.chance(0.15)) {
      const tint = smoothNoise(() => random.normal(0, 1), 0.03, 60);
      return Float64Array.from(random.pick(tables), (p, i) => p * Math.exp(tint[i]));
    }
    for (let attempt = 0; attempt < 40; attempt++) {
      const target = whitePoint(random.between(...cctRange), random.normal(0, 0.0025));
      const made = mixTo(family === 'tune' ? tuneLedParts(random) : judgeLedParts(random), target);
      if (made) return made;
    }
    return Float64Array.from(tables[0]);
  };
}

function tuneLedParts(random: SceneRandom): Spectrum71[] {
  const pump = random.between(445, 462);
  const pumpSd = random.between(8, 11);
  const green = random.between(530, 550);
  const red = random.between(605, 630);
  const greenSd = random.between(36, 44);
  const redSd = random.between(36, 46);
  return [
    spectrumOf((nm) => gaussian(nm, pump, pumpSd)),
    spectrumOf((nm) => gaussian(nm, green, greenSd)),
    spectrumOf((nm) => gaussian(nm, red, redSd)),
  ];
}

function judgeLedParts(random: SceneRandom): Spectrum71[] {
  const pump = random.between(438, 466);
  const pumpSd = [random.between(8, 13), random.between(7, 10)];
  const green = random.between(520, 558);
  const greenSd = [random.between(27, 36), random.between(45, 62)];
  const red = random.between(596, 640);
  const redSd = [random.between(28, 40), random.between(38, 56)];
  // some lamps carry a narrow red phosphor of five lines
  const narrow = random.chance(0.1);
  const lines = [608, 613, 630, 634, 648];
  return [
    spectrumOf((nm) => skewBell(nm, pump, pumpSd[0], pumpSd[1])),
    spectrumOf((nm) => skewBell(nm, green, greenSd[0], greenSd[1])),
    spectrumOf((nm) =>
      narrow
        ? lines.reduce((sum, l, k) => sum + [0.2, 0.5, 1, 0.5, 0.25][k] * gaussian(nm, l, 2.6), 0)
        : skewBell(nm, red, redSd[0], redSd[1]),
    ),
  ];
}

const triPhosphor: Maker = (family, random) => {
  if (family === 'tune' && random.chance(0.15)) {
    const tint = smoothNoise(() => random.normal(0, 1), 0.04, 60);
    return Float64Array.from(TABLE_LIGHTS.F11, (p, i) => p * Math.exp(tint[i]));
  }
  for (let attempt = 0; attempt < 40; attempt++) {
    const lineSd = family === 'tune' ? random.between(2.8, 3.6) : random.between(2.4, 4.4);
    const lines = (list: readonly (readonly [number, number])[]): Spectrum71 => {
      const strengths = list.map(([, a]) => a * Math.exp(random.normal(0, 0.12)));
      const shift = random.normal(0, 0.6);
      return spectrumOf((nm) =>
        list.reduce((sum, [l], k) => sum + strengths[k] * gaussian(nm, l + shift, lineSd), 0),
      );
    };
    const bluePeak = random.between(446, 456);
    const blueSd = random.between(18, 25);
    const cyan = family === 'judge' ? random.between(0, 0.5) : random.between(0, 0.2);
    const blue = spectrumOf(
      (nm) => gaussian(nm, bluePeak, blueSd) + cyan * gaussian(nm, 490, family === 'judge' ? 22 : 5),
    );
    const green = lines([
      [488, 0.3],
      [493, 0.12],
      [543, 1],
      [549, 0.5],
      [584, 0.16],
      [590, 0.12],
      [622, 0.06],
    ]);
    const red = lines([
      [587, 0.1],
      [593, 0.12],
      [599, 0.12],
      [611, 1],
      [630, 0.2],
      [650, 0.06],
      [662, 0.05],
      [687, 0.05],
      [709, 0.13],
    ]);
    const mercury = lines([
      [405, 0.1],
      [436, 0.28],
      [546, 0.3],
      [578, 0.08],
    ]);
    const glow = random.between(0.002, 0.01);
    const base = spectrumOf((nm, i) => 0.02 * mercury[i] + 0.02 * glow * gaussian(nm, 560, 80) * 10);
    const target = whitePoint(random.between(2800, 6200), random.normal(0.001, 0.003));
    const made = mixTo([blue, green, red], target, base);
    if (made) return made;
  }
  return Float64Array.from(TABLE_LIGHTS.F11);
};

const rgbLed: Maker = (_family, random) => {
  for (let attempt = 0; attempt < 40; attempt++) {
    const chip = (peak: number, sd: number): Spectrum71 => {
      const at = peak + random.normal(0, 4);
      return spectrumOf((nm) => skewBell(nm, at, sd, 1.25 * sd));
    };
    const made = mixTo(
      [chip(458, 9), chip(528, 14), chip(630, 8)],
      whitePoint(random.between(3000, 6500), 0),
    );
    if (made) return made;
  }
  return Float64Array.from(TABLE_LIGHTS['LED-B5']);
};

const MAKERS: Readonly<Record<LightKind, Maker>> = {
  day,
  lamp,
  'warm-led': phosphorLed([2650, 3500], [TABLE_LIGHTS['LED-B1']]),
  'cool-led': phosphorLed([4200, 6600], [TABLE_LIGHTS['LED-B3'], TABLE_LIGHTS['LED-B5']]),
  'tri-phosphor': triPhosphor,
  'rgb-led': rgbLed,
};
