/**
 * Learns how lights of a kind show in effective sensitivities, for colours as seen in the photo's own light:
 *
 *   npx tsx calibration/prior/learn-lights.ts DATA_FOLDER
 *
 * From the published cameras and lights that `learn-prior.ts` names, and for the modes that stand in prior.json: run it
 * after that. Written to calibration/prior/lights.json: for each kind of light its power on the core's nodes as mean and
 * modes, and how the coefficients of the sensitivities' modes follow them; what cameras and makers add is one covariance
 * for all kinds. The observer is a standard's table and multiplies the light where it is used.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import observers from '../../shared/tables/observers.json' with { type: 'json' };
import { GRID, nodeWeights } from '../../src/core/color/index.ts';
import { symmetricEigen } from '../../src/core/math/linear.ts';
import { type Random, seededRandom } from '../../src/core/math/random.ts';
import { type LearnedModes, readPublishedTables } from './learn-prior.ts';
import {
  type CameraTable,
  type LightTable,
  lightFamilies,
  rawChannels,
  renderedChannels,
} from './sensitivities.ts';

const N = GRID.count;

/** How one kind of light shows: θ = centre + follow·c + what the camera adds, P = mean + modes·c, c ~ N(0, 1). */
export interface LearnedLightKind {
  readonly name: string;
  /** Power on 36 nodes, Σ ȳ·P = 10. */
  readonly mean: readonly number[];
  readonly modes: readonly (readonly number[])[];
  readonly raw: LearnedFollowing;
  readonly rendered: LearnedFollowing;
}

export interface LearnedFollowing {
  readonly centre: readonly number[];
  /** For each of the light's modes, the change of θ. */
  readonly follow: readonly (readonly number[])[];
}

export interface LearnedLights {
  readonly source: string;
  /** Lower triangles, row by row, of the covariance of θ for one light. */
  readonly cameras: { readonly raw: readonly number[]; readonly rendered: readonly number[] };
  readonly kinds: readonly LearnedLightKind[];
}

interface Kind {
  readonly name: string;
  readonly modes: number;
  readonly draw: (random: Random) => ArrayLike<number>;
}

const SAMPLES = 2400;
/** Σ ȳ·P over the nodes: powers are then near 1. */
const Y_SUM = 10;
const BAR_Y = observers.observers['2'][1];

/** Kinds of light: members of a published family mixed two and two, with smooth differences between makers on top. */
function kindsOf(table: LightTable): Kind[] {
  const [day, lamp, led, triPhosphor, discharge, narrow] = lightFamilies(table).map((f) => f.powers);
  const all = [day, lamp, led, triPhosphor];
  const kind = (
    name: string,
    powers: readonly ArrayLike<number>[],
    modes: number,
    sd: number,
    shift_nm = 0,
  ): Kind => ({
    name,
    modes,
    draw: (random) => mixed(powers, random, sd, shift_nm),
  });
  return [
    kind('day', day, 5, 0.04),
    kind('lamp', lamp, 4, 0.04),
    kind('led', led, 9, 0.1, 5),
    kind('tri-phosphor', triPhosphor, 8, 0.12),
    kind('discharge', discharge, 9, 0.06),
    kind('narrow-led', narrow, 8, 0.06, 5),
    {
      name: 'two kinds at once',
      modes: 8,
      draw: (random) => {
        const a = Math.floor(random.uniform() * all.length);
        const b = (a + 1 + Math.floor(random.uniform() * (all.length - 1))) % all.length;
        return mix(mixed(all[a], random, 0.04), mixed(all[b], random, 0.04), 0.15 + 0.7 * random.uniform());
      },
    },
  ];
}

/** Two of a family mixed; diodes of other makers peak `shift_nm` to either side. */
function mixed(powers: readonly ArrayLike<number>[], random: Random, sd: number, shift_nm = 0): Float64Array {
  const one = (): ArrayLike<number> => {
    const p = powers[Math.floor(random.uniform() * powers.length)];
    return shift_nm > 0 ? shifted(p, shift_nm * random.normal()) : p;
  };
  const p = mix(one(), one(), random.uniform());
  const ripple = smoothRipple(random, sd);
  return p.map((v, i) => v * Math.exp(ripple(380 + 5 * i)));
}

function shifted(power: ArrayLike<number>, by_nm: number): Float64Array {
  return Float64Array.from(power, (_, i) => {
    const x = Math.min(70, Math.max(0, i - by_nm / 5));
    const at = Math.min(69, Math.floor(x));
    return power[at] + (x - at) * (power[at + 1] - power[at]);
  });
}

function mix(a: ArrayLike<number>, b: ArrayLike<number>, share: number): Float64Array {
  const luminance = (p: ArrayLike<number>): number => BAR_Y.reduce((s, y, i) => s + y * p[i], 0);
  const [la, lb] = [luminance(a), luminance(b)];
  return Float64Array.from(a, (v, i) => (share * v) / la + ((1 - share) * b[i]) / lb);
}

/** A smooth random curve: Gaussian bumps 35 nm apart. */
function smoothRipple(random: Random, sd: number): (nm: number) => number {
  const bumps = Array.from({ length: 12 }, (_, k) => ({ at: 370 + 35 * k, size: sd * random.normal() }));
  return (nm) => bumps.reduce((s, b) => s + b.size * Math.exp(-0.5 * ((nm - b.at) / 25) ** 2), 0);
}

/** Learns for the modes of a prior; leave cameras out to judge it on them. */
export function learnLights(
  cameras: readonly CameraTable[],
  lights: LightTable,
  training: readonly Float64Array[],
  prior: { readonly raw: LearnedModes; readonly rendered: LearnedModes },
): LearnedLights {
  const random = seededRandom(23);
  const spread = { raw: [] as Float64Array[], rendered: [] as Float64Array[] };
  const kinds = kindsOf(lights).map(({ name, modes: count, draw }): LearnedLightKind => {
    const drawn = Array.from({ length: SAMPLES }, () => draw(random));
    const { mean, modes, scores } = principal(drawn.map(powerOnNodes), count);
    const following = (kind: 'raw' | 'rendered'): LearnedFollowing => {
      const thetas = drawn.map((power, n) => {
        const camera = cameras[n % cameras.length];
        const raw = rawChannels(camera, power);
        const seen = kind === 'raw' ? raw : renderedChannels(raw, camera, power, training, random);
        return scoresOf(seen, prior[kind]);
      });
      const { centre, follow, left } = regression(thetas, scores);
      spread[kind].push(...left);
      return { centre: rounded(centre, 2), follow: follow.map((f) => rounded(f, 2)) };
    };
    return {
      name,
      mean: rounded(mean, 3),
      modes: modes.map((m) => rounded(m, 3)),
      raw: following('raw'),
      rendered: following('rendered'),
    };
  });
  return {
    source:
      'Learned by calibration/prior/learn-lights.ts from camera sensitivities of AcademySoftwareFoundation/rawtoaces-data (Apache-2.0) and lights of colour-science/colour (BSD-3-Clause)',
    cameras: { raw: lowerCovariance(spread.raw), rendered: lowerCovariance(spread.rendered) },
    kinds,
  };
}

/** Node weights of a power table, scaled to a common luminance. */
function powerOnNodes(power: ArrayLike<number>): Float64Array {
  const weights = nodeWeights(Array.from(power));
  const y = weights.reduce((s, w, i) => s + w * BAR_Y[2 * i], 0);
  return weights.map((w) => (Y_SUM * w) / y);
}

function scoresOf(channels: Float64Array, { mean, modes }: LearnedModes): Float64Array {
  return Float64Array.from(modes, (m) => {
    let dot = 0;
    let square = 0;
    m.forEach((v, i) => {
      dot += v * (channels[i] - mean[i]);
      square += v * v;
    });
    return dot / square;
  });
}

function principal(
  samples: readonly Float64Array[],
  count: number,
): { mean: Float64Array; modes: Float64Array[]; scores: Float64Array[] } {
  const mean = meanOf(samples);
  const covariance = covarianceOf(samples, mean);
  const { values, vectors } = symmetricEigen(covariance, N);
  const total = values.reduce((a, b) => a + b, 0);
  const kept = values.slice(0, count).reduce((a, b) => a + b, 0);
  process.stdout.write(`${count} modes hold ${((100 * kept) / total).toFixed(1)} %\n`);
  const unit = (m: number, i: number): number => vectors[i * N + m];
  return {
    mean,
    modes: Array.from({ length: count }, (_, m) =>
      Float64Array.from({ length: N }, (_, i) => unit(m, i) * Math.sqrt(values[m])),
    ),
    scores: samples.map((s) =>
      Float64Array.from({ length: count }, (_, m) => {
        let dot = 0;
        for (let i = 0; i < N; i++) dot += (s[i] - mean[i]) * unit(m, i);
        return dot / Math.sqrt(values[m]);
      }),
    ),
  };
}

/** θ on the light's coefficients, which are uncorrelated with variance 1: a mean of products. */
function regression(
  thetas: readonly Float64Array[],
  scores: readonly Float64Array[],
): { centre: Float64Array; follow: Float64Array[]; left: Float64Array[] } {
  const centre = meanOf(thetas);
  const follow = Array.from(scores[0], (_, m) =>
    centre.map((mean, k) => thetas.reduce((s, t, n) => s + scores[n][m] * (t[k] - mean), 0) / thetas.length),
  );
  const left = thetas.map((t, n) =>
    t.map((v, k) => v - centre[k] - follow.reduce((s, f, m) => s + scores[n][m] * f[k], 0)),
  );
  return { centre, follow, left };
}

function meanOf(samples: readonly Float64Array[]): Float64Array {
  const mean = new Float64Array(samples[0].length);
  for (const s of samples) for (let i = 0; i < mean.length; i++) mean[i] += s[i] / samples.length;
  return mean;
}

function covarianceOf(samples: readonly Float64Array[], mean: Float64Array): Float64Array {
  const n = mean.length;
  const out = new Float64Array(n * n);
  for (const s of samples)
    for (let i = 0; i < n; i++) {
      const d = (s[i] - mean[i]) / samples.length;
      for (let j = 0; j < n; j++) out[i * n + j] += d * (s[j] - mean[j]);
    }
  return out;
}

function lowerCovariance(left: readonly Float64Array[]): number[] {
  const n = left[0].length;
  const c = covarianceOf(left, new Float64Array(n));
  return Array.from({ length: n }, (_, i) => rounded(c.subarray(i * n, i * n + i + 1), 3)).flat();
}

function rounded(values: ArrayLike<number>, digits: number): number[] {
  return Array.from(values, (v) => Number(v.toFixed(digits)));
}

if (process.argv[1]?.endsWith('learn-lights.ts')) {
  const folder = process.argv[2];
  if (!folder) throw new Error('usage: learn-lights.ts DATA_FOLDER');
  const tables = readPublishedTables(folder);
  const prior = JSON.parse(readFileSync(new URL('./prior.json', import.meta.url), 'utf8')) as {
    raw: LearnedModes;
    rendered: LearnedModes;
  };
  const learned = learnLights(tables.cameras, tables.lights, tables.training, prior);
  const text = JSON.stringify(learned).replaceAll('],[', '],\n[');
  writeFileSync(new URL('./lights.json', import.meta.url), `${text}\n`);
  process.stdout.write(`${(text.length / 1024).toFixed(0)} kB\n`);
}
