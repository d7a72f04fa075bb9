/** Cameras of the scenes: sensitivities made up, or passed in as a table. */
import type { Family } from './lights.ts';
import type { SceneRandom } from './random.ts';
import { edge, gaussian, NM, type Spectrum71, skewBell, smoothNoise, spectrumOf } from './spectral.ts';

export interface SceneCamera {
  readonly name: string;
  /** Red, green, blue; 71 values each, largest value of all 1. */
  readonly sensitivity: readonly [Spectrum71, Spectrum71, Spectrum71];
}

/** A made-up camera: `tune` cameras are sums of bells, `judge` cameras dyes over a silicon response and an infrared cut. */
export function makeCamera(family: Family, random: SceneRandom): SceneCamera {
  const raw = family === 'tune' ? sumsOfBells(random) : filtersOverSilicon(random);
  const ripple = raw.map(() => smoothNoise(() => random.normal(0, 1), family === 'tune' ? 0.02 : 0.03, 28));
  return cameraOf(
    `made up, ${family}`,
    raw.map((s, c) => s.map((v, i) => v * Math.exp(ripple[c][i]))),
  );
}

/** A camera from a table of three rows of 71 values. */
export function cameraOf(name: string, table: readonly ArrayLike<number>[]): SceneCamera {
  const top = Math.max(...table.flatMap((row) => Array.from(row)));
  const [r, g, b] = table.map((row) => Float64Array.from(NM, (_, i) => Math.max(0, row[i]) / top));
  return { name, sensitivity: [r, g, b] };
}

function sumsOfBells(random: SceneRandom): Spectrum71[] {
  const n = (mean: number, sd: number): number => random.normal(mean, sd);
  const red = {
    peak: n(596, 4),
    left: n(30, 3),
    right: n(42, 4),
    tail: Math.abs(n(0.14, 0.04)),
    leak: Math.abs(n(0.03, 0.02)),
  };
  const green = {
    peak: n(526, 4),
    left: n(34, 3),
    right: n(42, 3),
    leak: Math.abs(n(0.05, 0.03)),
  };
  const blue = { peak: n(457, 3), left: n(27, 3), right: n(41, 4) };
  const cut = n(672, 9);
  const cutWidth = random.between(8, 14);
  const infraredCut = spectrumOf((nm) => 1 - edge(nm, cut, cutWidth));
  const lensCut = n(412, 5);
  const lens = spectrumOf((nm) => edge(nm, lensCut, 5));
  const rows = [
    spectrumOf(
      (nm) =>
        skewBell(nm, red.peak, red.left, red.right) +
        red.tail * gaussian(nm, 535, 28) +
        red.leak * gaussian(nm, 450, 25),
    ),
    spectrumOf(
      (nm) => skewBell(nm, green.peak, green.left, green.right) + green.leak * gaussian(nm, 440, 30),
    ),
    spectrumOf((nm) => skewBell(nm, blue.peak, blue.left, blue.right)),
  ];
  const level = [n(0.64, 0.06), 1, n(0.9, 0.07)];
  return rows.map((row, c) => row.map((v, i) => level[c] * v * infraredCut[i] * lens[i]));
}

/**
 * Where flanks lie, how steep they are and how strong the channels are against each other is set after 40 published
 * sensitivities (rawtoaces-data, Academy Software Foundation): steeper flanks and a later cut than those have
 * would make cameras that see colours worse than real ones do.
 */
function filtersOverSilicon(random: SceneRandom): Spectrum71[] {
  const n = (mean: number, sd: number): number => random.normal(mean, sd);
  const quantumPeak = n(540, 20);
  const silicon = spectrumOf((nm) => skewBell(nm, quantumPeak, 130, 150));
  const cut = n(641, 6);
  const cutWidth = random.between(14, 20);
  const cutSlope = random.between(0.001, 0.006);
  const glass = spectrumOf(
    (nm) => (1 - edge(nm, cut, cutWidth)) * Math.exp(-cutSlope * Math.max(0, nm - 560)) * edge(nm, 411, 6),
  );
  const redEdge = n(577, 4);
  const redWidth = random.between(4.5, 8);
  const redFloor = Math.abs(n(0.14, 0.05));
  const redBlue = Math.abs(n(0.03, 0.02));
  const greenRise = n(485, 5);
  const greenFall = n(585, 4);
  const greenWidth = [random.between(9, 19), random.between(12, 16)];
  const greenFloor = Math.abs(n(0.05, 0.03));
  const blueFall = n(500, 5);
  const blueWidth = random.between(13, 18);
  const blueFloor = Math.abs(n(0.012, 0.01));
  const filters = [
    spectrumOf(
      (nm) =>
        edge(nm, redEdge, redWidth) +
        redFloor * skewBell(nm, 520, 40, 30) * (1 - edge(nm, redEdge, redWidth)) +
        redBlue * gaussian(nm, 440, 35),
    ),
    spectrumOf(
      (nm) =>
        edge(nm, greenRise, greenWidth[0]) * (1 - edge(nm, greenFall, greenWidth[1])) +
        greenFloor +
        0.8 * greenFloor * gaussian(nm, 430, 30),
    ),
    spectrumOf((nm) => 0.95 * (1 - edge(nm, blueFall, blueWidth)) + blueFloor),
  ];
  const level = [n(0.85, 0.06), 1, n(1.18, 0.06)];
  return filters.map((row, c) => row.map((v, i) => level[c] * v * silicon[i] * glass[i]));
}
