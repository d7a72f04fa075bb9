/** Effective sensitivities (camera × light, and × the maker's matrix) that the prior is learned from. */
import { daylightPower, nodeWeights, planckPower } from '../../src/core/color/index.ts';
import { viewing } from '../../src/core/color/white.ts';
import { type Random, seededRandom } from '../../src/core/math/random.ts';

/** Red, green and blue sensitivity, 71 values each, 380–730 nm in 5 nm steps. */
export type CameraTable = readonly (readonly number[])[];
/** Relative power of named lights on the same 71 wavelengths. */
export type LightTable = Readonly<Record<string, readonly number[]>>;

/** Kinds of light with the share of photographs taken under each; the shares are our judgement of a paint shop. */
export function lightFamilies(table: LightTable): { share: number; powers: readonly ArrayLike<number>[] }[] {
  const pick = (pattern: RegExp): readonly number[][] =>
    Object.entries(table)
      .filter(([name]) => pattern.test(name))
      .map(([, p]) => [...p]);
  const daylights = [4000, 4500, 5000, 5500, 6000, 6500, 7500, 9000, 12000].map((t) => daylightPower(t));
  const lamps = [2500, 2700, 2856, 3000, 3200, 3400].map((t) => planckPower(t));
  return [
    { share: 0.34, powers: daylights },
    { share: 0.12, powers: lamps },
    { share: 0.26, powers: pick(/LED-B|LED-V|BH1|PHOS|Luxeon/) },
    { share: 0.18, powers: pick(/F1[012]$|F3\.(7|8|9|10|11|12|13|14|15)|Triphosphor/) },
    { share: 0.07, powers: pick(/CIE F[1-9]$|FL|Soft White|HP[345]|Metal Halide/) },
    { share: 0.03, powers: pick(/[34]-LED|RGB1|Neod/) },
  ];
}

/** XYZ (D65 white) to linear sRGB, IEC 61966-2-1. */
const XYZ_TO_SRGB = [
  [3.2406, -1.5372, -0.4986],
  [-0.9689, 1.8758, 0.0415],
  [0.0557, -0.204, 1.057],
];

/**
 * Draws effective sensitivities, three channels × 36 nodes, each channel summing to 1: a camera, a light, and for
 * rendered (JPEG) pixels a maker's matrix that was fitted under this light or a common one, with more or less colour
 * saturation.
 */
export function drawSensitivities(
  cameras: readonly CameraTable[],
  lights: LightTable,
  options: { count: number; rendered: boolean; seed: number; training: readonly Float64Array[] },
): Float64Array[] {
  const random = seededRandom(options.seed);
  const families = lightFamilies(lights);
  const samples: Float64Array[] = [];
  for (let n = 0; n < options.count; n++) {
    const camera = cameras[n % cameras.length];
    const power = drawLight(families, random);
    const raw = rawChannels(camera, power);
    samples.push(options.rendered ? renderedChannels(raw, camera, power, options.training, random) : raw);
  }
  return samples;
}

function drawLight(families: ReturnType<typeof lightFamilies>, random: Random): ArrayLike<number> {
  const one = (): ArrayLike<number> => {
    let u = random.uniform() * families.reduce((s, f) => s + f.share, 0);
    const family =
      families.find((f) => {
        u -= f.share;
        return u < 0;
      }) ?? families[0];
    return family.powers[Math.floor(random.uniform() * family.powers.length)];
  };
  const a = one();
  if (random.uniform() > 0.25) return a;
  // a quarter of photographs mix two lights: a window beside a lamp
  const b = one();
  const share = 0.15 + 0.35 * random.uniform();
  const sum = (p: ArrayLike<number>): number => Array.from(p).reduce((s, v) => s + v, 0);
  const scale = (share * sum(a)) / ((1 - share) * sum(b));
  return Float64Array.from(a, (v, i) => v + scale * b[i]);
}

/** Camera × light on the nodes, each channel scaled to sum 1 (white balanced). */
export function rawChannels(camera: CameraTable, power: ArrayLike<number>): Float64Array {
  const out = new Float64Array(108);
  camera.forEach((channel, c) => {
    const weights = nodeWeights(channel.map((s, i) => s * power[i]));
    const sum = weights.reduce((a, b) => a + b, 0);
    weights.forEach((w, i) => {
      out[36 * c + i] = w / sum;
    });
  });
  return out;
}

export function renderedChannels(
  raw: Float64Array,
  camera: CameraTable,
  power: ArrayLike<number>,
  training: readonly Float64Array[],
  random: Random,
): Float64Array {
  const u = random.uniform();
  const fitUnder = u < 0.5 ? power : u < 0.8 ? daylightPower(6500) : daylightPower(5000);
  const matrix = makersMatrix(rawChannels(camera, fitUnder), training);
  const saturation = 1 + 0.12 * random.normal();
  const luma = [0.2126, 0.7152, 0.0722];
  const out = new Float64Array(108);
  for (let i = 0; i < 36; i++) {
    const rgb = [0, 1, 2].map((r) => matrix[r].reduce((s, m, c) => s + m * raw[36 * c + i], 0));
    const grey = luma.reduce((s, w, c) => s + w * rgb[c], 0);
    for (let c = 0; c < 3; c++) out[36 * c + i] = grey + saturation * (rgb[c] - grey);
  }
  return out;
}

/** Least-squares 3×3 from white-balanced readings to linear sRGB over the training reflectances, white kept. */
function makersMatrix(channels: Float64Array, training: readonly Float64Array[]): number[][] {
  const d65 = viewing('D65/2');
  // unknowns per row: m0, m1 with m2 = 1 − m0 − m1, so that white stays white
  return [0, 1, 2].map((row) => {
    let a = 0;
    let b = 0;
    let d = 0;
    let p = 0;
    let q = 0;
    for (const r of training) {
      const rgb = [0, 1, 2].map((c) => dot(channels, 36 * c, r));
      const xyz = d65.weights.map((w) => dot(w, 0, r));
      const target = XYZ_TO_SRGB[row].reduce((s, m, i) => s + m * xyz[i], 0);
      const u = rgb[0] - rgb[2];
      const v = rgb[1] - rgb[2];
      const t = target - rgb[2];
      a += u * u;
      b += u * v;
      d += v * v;
      p += u * t;
      q += v * t;
    }
    const det = a * d - b * b;
    const m0 = (d * p - b * q) / det;
    const m1 = (a * q - b * p) / det;
    return [m0, m1, 1 - m0 - m1];
  });
}

function dot(a: ArrayLike<number>, offset: number, r: ArrayLike<number>): number {
  let s = 0;
  for (let i = 0; i < 36; i++) s += a[offset + i] * r[i];
  return s;
}
