/**
 * Learns the prior of the correction from published camera sensitivities and lights:
 *
 *   npx tsx calibration/prior/learn-prior.ts DATA_FOLDER
 *
 * DATA_FOLDER holds cameras.json (spectral sensitivities of 40 cameras, AcademySoftwareFoundation/rawtoaces-data,
 * Apache-2.0), lights.json (CIE illuminants and measured lamps, colour-science/colour, BSD-3-Clause) and
 * chart24.json (reflectances, Ohta 1997, same source). Only what is learned — means and modes — is written,
 * to calibration/prior/prior.json; the tables themselves are not part of the project.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { toGrid } from '../../src/core/color/spectrum.ts';
import { mirrorLower, symmetricEigen } from '../../src/core/math/linear.ts';
import { type CameraTable, drawSensitivities, type LightTable } from './sensitivities.ts';
import { CURVE_NODES, drawCurveDeviations } from './tone-curves.ts';

/** Mean and modes of a Gaussian; modes are scaled by their standard deviation and uncorrelated. */
export interface LearnedModes {
  readonly mean: readonly number[];
  readonly modes: readonly (readonly number[])[];
}

export interface LearnedPrior {
  readonly source: string;
  readonly raw: LearnedModes;
  readonly rendered: LearnedModes;
  readonly curve: LearnedModes;
}

const SENSITIVITY_MODES = 28;
const CURVE_MODES = 8;

/** Learns the prior from tables; leave cameras out of `cameras` to judge it on them. */
export function learnPrior(
  cameras: readonly CameraTable[],
  lights: LightTable,
  training: readonly Float64Array[],
): LearnedPrior {
  const draw = (rendered: boolean): Float64Array[] =>
    drawSensitivities(cameras, lights, { count: cameras.length * 80, rendered, seed: 11, training });
  return {
    source:
      'Learned by calibration/prior/learn-prior.ts from camera sensitivities of AcademySoftwareFoundation/rawtoaces-data (Apache-2.0) and lights and reflectances of colour-science/colour (BSD-3-Clause)',
    raw: learnSensitivity(draw(false)),
    rendered: learnSensitivity(draw(true)),
    curve: learnCurve(),
  };
}

function learnSensitivity(samples: readonly Float64Array[]): LearnedModes {
  const { mean, modes } = principalModes(samples, SENSITIVITY_MODES);
  return {
    mean: rounded(mean, 6),
    modes: modes.map((m) => rounded(m, 6)),
  };
}

function learnCurve(): LearnedModes {
  const family = drawCurveDeviations(3000, 5);
  const { mean, modes } = principalModes(family, CURVE_MODES);
  return { mean: rounded(mean, 4), modes: modes.map((m) => rounded(m, 4)) };
}

function principalModes(
  samples: readonly Float64Array[],
  keep: number,
): { mean: Float64Array; modes: Float64Array[] } {
  const n = samples[0].length;
  const mean = new Float64Array(n);
  for (const s of samples) for (let i = 0; i < n; i++) mean[i] += s[i] / samples.length;
  const covariance = new Float64Array(n * n);
  for (const s of samples)
    for (let i = 0; i < n; i++) {
      const di = (s[i] - mean[i]) / samples.length;
      for (let j = 0; j <= i; j++) covariance[i * n + j] += di * (s[j] - mean[j]);
    }
  mirrorLower(covariance, n);
  const { values, vectors } = symmetricEigen(covariance, n);
  const modes = Array.from({ length: keep }, (_, m) =>
    Float64Array.from({ length: n }, (_, i) => vectors[i * n + m] * Math.sqrt(values[m])),
  );
  return { mean, modes };
}

function rounded(values: ArrayLike<number>, digits: number): number[] {
  return Array.from(values, (v) => Number(v.toFixed(digits)));
}

interface PublishedTables {
  readonly cameras: readonly CameraTable[];
  readonly lights: LightTable;
  readonly training: readonly Float64Array[];
}

/** Reads the published tables from a folder. */
export function readPublishedTables(folder: string): PublishedTables {
  const read = <T>(name: string): T => JSON.parse(readFileSync(`${folder}/${name}`, 'utf8')) as T;
  const chart = read<{ patches: Record<string, number[]> }>('chart24.json');
  return {
    cameras: Object.values(read<{ cameras: Record<string, CameraTable> }>('cameras.json').cameras),
    lights: read<{ lights: LightTable }>('lights.json').lights,
    training: Object.values(chart.patches).map((values) => toGrid({ start_nm: 380, step_nm: 5, values })),
  };
}

if (process.argv[1]?.endsWith('learn-prior.ts')) {
  const folder = process.argv[2];
  if (!folder) throw new Error('usage: learn-prior.ts DATA_FOLDER');
  const tables = readPublishedTables(folder);
  const prior = learnPrior(tables.cameras, tables.lights, tables.training);
  const text = JSON.stringify(prior).replaceAll('],[', '],\n[');
  writeFileSync(new URL('./prior.json', import.meta.url), `${text}\n`);
  process.stdout.write(`${(text.length / 1024).toFixed(0)} kB, ${CURVE_NODES} curve nodes\n`);
}
