/** What a camera does from light to file: white balance, the maker's matrix, exposure, tone curve, encoding. */
import type { SceneCamera } from './cameras.ts';
import type { Family, SceneLight } from './lights.ts';
import { apply, inverse, leastSquares, type Matrix3, product } from './matrix.ts';
import { randomOf, type SceneRandom } from './random.ts';
import {
  edge,
  gaussian,
  type Spectrum71,
  skewBell,
  spectrumOf,
  type Triple,
  whiteOf,
  xyzUnder,
} from './spectral.ts';
import { makeToneCurve, type ToneCurve } from './tone.ts';

export type PixelKind = 'jpeg' | 'linear';
export type FileSpace = 'srgb' | 'p3';

export interface Pipeline {
  readonly pixels: PixelKind;
  readonly space: FileSpace;
  /** Raw response of each channel to a reflectance, per wavelength: camera × light, 1 for the perfect diffuser. */
  readonly effective: readonly [Spectrum71, Spectrum71, Spectrum71];
  /** White-balanced raw to the file's linear primaries, exposure included; before the tone curve. */
  readonly matrix: Matrix3;
  /** Rendering of linear 0–1 to displayed linear 0–1; identity for linear pixels. */
  readonly tone: ToneCurve;
  /** How strongly the maker bends saturated and skin-like colours, 0 for not at all. */
  readonly preferred: number;
}

// IEC 61966-2-1 (sRGB) and SMPTE EG 432-1 (P3-D65): linear RGB to XYZ, D65
const SRGB_TO_XYZ: Matrix3 = [
  0.4124564, 0.3575761, 0.1804375, 0.2126729, 0.7151522, 0.072175, 0.0193339, 0.119192, 0.9503041,
];
const P3_TO_XYZ: Matrix3 = [
  0.4865709, 0.2656677, 0.1982173, 0.2289746, 0.6917385, 0.0792869, 0, 0.0451134, 1.0439444,
];
// Bradford cone responses (Lam 1985; ICC.1:2022 annex E)
const BRADFORD: Matrix3 = [0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296];
const D65_WHITE: Triple = [0.9504559, 1, 1.0890578];

/** XYZ under one white to the corresponding XYZ under another, by the linear Bradford transform. */
export function adaptation(from: Triple, to: Triple): Matrix3 {
  const a = apply(BRADFORD, from);
  const b = apply(BRADFORD, to);
  const gains: Matrix3 = [b[0] / a[0], 0, 0, 0, b[1] / a[1], 0, 0, 0, b[2] / a[2]];
  return product(inverse(BRADFORD), product(gains, BRADFORD));
}

/** Linear primaries of a file space to XYZ (D65). */
export function primariesToXyz(space: FileSpace): Matrix3 {
  return space === 'p3' ? P3_TO_XYZ : SRGB_TO_XYZ;
}

/** XYZ (D65) to a file space's linear primaries. */
export function fromXyz(space: FileSpace): Matrix3 {
  return inverse(primariesToXyz(space));
}

export interface PipelineOptions {
  readonly pixels: PixelKind;
  readonly space: FileSpace;
  readonly preferred?: number;
  /** Seeds what belongs to the camera, as against this photo (several photos with one camera share it). */
  readonly makerSeed: number;
}

/** The pipeline of one photo of the scene. */
export function makePipeline(
  camera: SceneCamera,
  light: SceneLight,
  family: Family,
  random: SceneRandom,
  options: PipelineOptions,
): Pipeline {
  const effective = effectiveOf(camera, light);
  const maker = randomOf(options.makerSeed, 'maker');
  const balance = whiteBalanceError(light, family, random);
  if (options.pixels === 'linear') {
    const exposure = random.between(0.5, 0.85);
    const [r, g, b] = balance.map((v) => v * exposure);
    return {
      ...options,
      effective,
      matrix: [r, 0, 0, 0, g, 0, 0, 0, b],
      tone: (x) => Math.min(1, x),
      preferred: 0,
    };
  }
  const saturation = family === 'tune' ? maker.between(0.95, 1.2) : maker.between(0.9, 1.3);
  const matrix = makerMatrix(effective, light, options.space, saturation);
  const tone = makeToneCurve(family, maker);
  // the paper is to come out light but not blown: choose what linear value the curve shall get
  const paper = family === 'tune' ? random.between(0.84, 0.95) : random.between(0.78, 0.96);
  const exposure = inputFor(tone, srgbDecode(paper)) / 0.86;
  const balanced = product(matrix, [balance[0], 0, 0, 0, balance[1], 0, 0, 0, balance[2]]);
  return {
    ...options,
    effective,
    matrix: balanced.map((v) => v * exposure) as unknown as Matrix3,
    tone,
    preferred: options.preferred ?? 0,
  };
}

function inputFor(tone: ToneCurve, wanted: number): number {
  let lo = 0;
  let hi = 2;
  for (let i = 0; i < 50; i++) {
    const mid = (lo + hi) / 2;
    if (tone(mid) < wanted) lo = mid;
    else hi = mid;
  }
  return (lo + hi) / 2;
}

export function effectiveOf(camera: SceneCamera, light: SceneLight): Pipeline['effective'] {
  const [r, g, b] = camera.sensitivity.map((s) => {
    const e = s.map((v, i) => v * light.power[i]);
    const sum = e.reduce((a, v) => a + v, 0);
    return e.map((v) => v / sum);
  });
  return [r, g, b];
}

/** White-balanced raw of a reflectance: 1, 1, 1 for the perfect diffuser. */
export function rawOf(pipeline: Pipeline, reflectance: ArrayLike<number>): Triple {
  const [r, g, b] = pipeline.effective.map((e) => e.reduce((sum, v, i) => sum + v * reflectance[i], 0));
  return [r, g, b];
}

function whiteBalanceError(light: SceneLight, family: Family, random: SceneRandom): Triple {
  const spread = family === 'tune' ? 0.03 : 0.04;
  // cameras leave lamp light a little warm
  const warm = light.cct_k < 3400 ? random.between(0, 0.12) : random.between(-0.02, 0.03);
  return [
    Math.exp(random.normal(0, spread) + warm / 2),
    Math.exp(random.normal(0, spread / 3)),
    Math.exp(random.normal(0, spread) - warm),
  ];
}

/** Least squares from balanced raw to the file's primaries over made-up surfaces, white kept (Finlayson and Drew 1997), then saturated. */
function makerMatrix(
  effective: Pipeline['effective'],
  light: SceneLight,
  space: FileSpace,
  saturation: number,
): Matrix3 {
  const surfaces = makerSurfaces();
  const toFile = product(fromXyz(space), adaptation(whiteOf(light.power), D65_WHITE));
  const raws = surfaces.map((s) => effective.map((e) => e.reduce((sum, v, i) => sum + v * s[i], 0)));
  const wanted = surfaces.map((s) => apply(toFile, xyzUnder(light.power, s)));
  const fitted = [0, 1, 2].flatMap((c) => {
    // white kept: the row sums to 1, so fit two numbers
    const rows = raws.map((r, k) => {
      const w = 1 / (0.08 + wanted[k][1]);
      return [w * (r[0] - r[1]), w * (r[2] - r[1])];
    });
    const targets = raws.map((r, k) => (wanted[k][c] - r[1]) / (0.08 + wanted[k][1]));
    const [a, b] = leastSquares(rows, targets, 0.02);
    return [a, 1 - a - b, b];
  }) as unknown as Matrix3;
  const luma = [0.2126, 0.7152, 0.0722];
  const saturate = [0, 1, 2].flatMap((r) =>
    [0, 1, 2].map((c) => (1 - saturation) * luma[c] + (r === c ? saturation : 0)),
  ) as unknown as Matrix3;
  return product(saturate, fitted);
}

let surfaceCache: readonly Spectrum71[] | undefined;
/** Surfaces that makers calibrate on: bells, long-pass edges and greys, made up once. */
function makerSurfaces(): readonly Spectrum71[] {
  if (surfaceCache) return surfaceCache;
  const list: Spectrum71[] = [0.05, 0.2, 0.5, 0.9].map((g) => spectrumOf(() => g));
  for (let peak = 420; peak <= 660; peak += 30) {
    list.push(spectrumOf((nm) => 0.08 + 0.45 * gaussian(nm, peak, 42)));
    list.push(spectrumOf((nm) => 0.6 - 0.42 * skewBell(nm, peak, 38, 45)));
  }
  for (let at = 470; at <= 620; at += 25) list.push(spectrumOf((nm) => 0.06 + 0.6 * edge(nm, at, 12)));
  surfaceCache = list;
  return list;
}

/** sRGB transfer (IEC 61966-2-1), linear 0–1 to encoded 0–1. */
export function srgbEncode(x: number): number {
  return x <= 0.0031308 ? 12.92 * Math.max(0, x) : 1.055 * Math.min(1, x) ** (1 / 2.4) - 0.055;
}

/** sRGB transfer, encoded 0–1 to linear 0–1. */
export function srgbDecode(v: number): number {
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
}

/** White-balanced raw light to the file's linear value as rendered (tone curve applied, clipped to 0–1). */
export function rendered(pipeline: Pipeline, raw: Triple): Triple {
  const m = apply(pipeline.matrix, raw);
  const v: Triple = [
    pipeline.tone(Math.max(0, m[0])),
    pipeline.tone(Math.max(0, m[1])),
    pipeline.tone(Math.max(0, m[2])),
  ];
  return pipeline.preferred > 0 ? prefer(v, pipeline.preferred) : v;
}

/** A maker's taste: reds towards orange, blues deeper, muted colours livelier. No curve per channel can do this. */
function prefer([r, g, b]: Triple, strength: number): Triple {
  const y = 0.25 * r + 0.65 * g + 0.1 * b;
  const top = Math.max(r, g, b, 1e-6);
  const low = Math.min(r, g, b);
  const colourful = (top - low) / top;
  const lively = 1 + 0.25 * strength * (1 - colourful) * colourful * 2;
  const warm = strength * 0.06 * Math.max(0, (r - Math.max(g, b)) / top);
  const deep = 1 - strength * 0.12 * Math.max(0, (b - Math.max(r, g)) / top);
  const out = [r, g + warm * (r - g), b].map((v) => Math.min(1, Math.max(0, (y + lively * (v - y)) * deep)));
  return [out[0], out[1], out[2]];
}
