/**
 * How accurate the correction is, on simulated readings whose truth is known:
 *
 *   npm run bench:accuracy -- [--cameras FILE --lights FILE --chart FILE] [--scenes N] [--family judge|tune]
 *
 * `--cameras` takes published camera sensitivities (a table of [3][71] values a camera); every camera then judges a
 * prior that was learned without it and its neighbours in the list (makers stand together).
 */
import { readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { learnLights } from '../../calibration/prior/learn-lights.ts';
import { learnPrior, readPublishedTables } from '../../calibration/prior/learn-prior.ts';
import {
  LIGHT_KINDS,
  randomScene,
  randomSceneUnderLights,
  type SceneOptions,
  sceneReadings,
} from '../../samples/scene/index.ts';
import { OWN_CARD, stripsBeside } from '../../src/core/card/own.ts';
import { type CorrectionPrior, correctionPrior } from '../../src/core/correction/index.ts';
import { lightPriors } from '../../src/core/correction/light-prior.ts';
import { coloursOf, correctionOf, scoreBaselines, scoreColours } from './accuracy/run-scene.ts';
import { sampleRow } from './accuracy/samples.ts';
import { makeScores, type Scores } from './accuracy/scores.ts';
import { joinedRows, knownRows } from './accuracy/together.ts';

const { values } = parseArgs({
  options: {
    cameras: { type: 'string' },
    scenes: { type: 'string', default: '40' },
    family: { type: 'string', default: 'judge' },
    only: { type: 'string' },
    seed: { type: 'string', default: '5000' },
  },
});
const SCENES = Number(values.scenes);
const FAMILY = values.family as 'judge' | 'tune';
const SEED = Number(values.seed);
const print = (line: string): void => void process.stdout.write(`${line}\n`);
const f = (x: number): string => (Number.isFinite(x) ? x.toFixed(2) : '–').padStart(6);

export interface Camera {
  readonly table?: readonly (readonly number[])[];
  readonly prior?: CorrectionPrior;
}

/** Cameras to judge by: made up by the scene generator, or published ones, each with a prior that never saw it. */
function camerasToJudge(): (i: number) => Camera {
  if (!values.cameras) return () => ({});
  const folder = values.cameras.replace(/[^/]*$/, '');
  const { cameras, lights, training } = readPublishedTables(folder);
  const all = Object.values(
    (JSON.parse(readFileSync(values.cameras, 'utf8')) as { cameras: Record<string, number[][]> }).cameras,
  );
  const folds = 5;
  const size = Math.ceil(all.length / folds);
  const priors = Array.from({ length: folds }, (_, k) => {
    const others = cameras.filter((_, i) => Math.floor(i / size) !== k);
    const learned = learnPrior(others, lights, training);
    return correctionPrior(learned, lightPriors(learnLights(others, lights, training, learned)));
  });
  return (i) => {
    const at = (i * 7) % all.length;
    return { table: all[at], prior: priors[Math.floor(at / size)] };
  };
}

/** The published reflectances of the classic chart's eighteen colours, which are paints. */
function chartPaints(): Float64Array[] | undefined {
  if (!values.cameras) return undefined;
  const file = values.cameras.replace(/[^/]*$/, 'chart24.json');
  const { patches } = JSON.parse(readFileSync(file, 'utf8')) as { patches: Record<string, number[]> };
  return Object.values(patches)
    .slice(0, 18)
    .map((r) => Float64Array.from(r));
}

const cameraOf = camerasToJudge();
const strips = stripsBeside(OWN_CARD);
const BASE: Omit<SceneOptions, 'pixels' | 'cardTier'> = {
  family: FAMILY,
  card: OWN_CARD,
  strips,
  panels: 10,
  identicalPair: true,
};

function run(
  name: string,
  options: Pick<SceneOptions, 'pixels' | 'cardTier'> & Partial<SceneOptions>,
): Scores {
  const scores = makeScores();
  for (const light of LIGHT_KINDS)
    for (let i = 0; i < SCENES; i++) {
      const camera = cameraOf(i);
      const scene = randomScene(SEED + i, {
        ...BASE,
        ...options,
        light,
        ...(camera.table ? { camera: camera.table } : {}),
      });
      const s = sceneReadings(scene);
      const correction = correctionOf(s, camera.prior);
      scoreColours(scores, s.truth, coloursOf([s], [correction]), light);
      scoreBaselines(scores, s);
      scores.add('check', correction.check.mean_de00);
      scores.add('bend', correction.residualField.amplitude);
      scores.add('outlying', correction.outlying.length);
    }
  report(name, scores);
  return scores;
}

function report(name: string, s: Scores): void {
  const ratio = (other: string): string => f(s.mean('error') / s.mean(other));
  print(`\n${name}: ${s.count('error')} panels in ${s.count('check')} scenes`);
  print(`  error of a panel            mean ${f(s.mean('error'))}   95th ${f(s.quantile('error', 0.95))}`);
  print(
    `    by light                  ${LIGHT_KINDS.map((l) => `${l} ${f(s.mean(`error ${l}`))}`).join('  ')}`,
  );
  for (const [key, label] of [
    ['matrix', 'linear 3×3'],
    ['greyPoint', 'grey point'],
    ['rootPolynomial', 'root polynomial'],
    ['curveThenRoot', 'curve, root polynomial'],
  ])
    print(
      `    ${label.padEnd(24)}  mean ${f(s.mean(key))}   95th ${f(s.quantile(key, 0.95))}   ratio ${ratio(key)}`,
    );
  print(
    `  difference of near panels   mean ${f(s.mean('pair error'))}   95th ${f(s.quantile('pair error', 0.95))}   (3×3 ${f(s.mean('matrix pairs'))})`,
  );
  print(
    `  intervals hold              L* ${f(s.mean('held L*'))}  a* ${f(s.mean('held a*'))}  b* ${f(s.mean('held b*'))}   pairs ${f(s.mean('pair held'))}`,
  );
  print(
    `    by light                  ${LIGHT_KINDS.map((l) => `${l} ${f(s.mean(`held ${l}`))}`).join('  ')}`,
  );
  print(
    `    pairs                     ${['identical', 'same tint', 'other tint'].map((k) => `${k} ${f(s.mean(`pair held ${k}`))}`).join('  ')}   width ${f(s.mean('pair width'))}`,
  );
  print(
    `    their directions          ${['dL', 'dC', 'dH'].map((w) => `${w} ${f(s.mean(`held ${w}`))} ±${f(s.mean(`u95 ${w}`))}`).join('  ')}`,
  );
  print(
    `  half-widths                 L* ${f(s.mean('u95 L*'))}  a* ${f(s.mean('u95 a*'))}  b* ${f(s.mean('u95 b*'))}   z² ${['L*', 'a*', 'b*'].map((a) => f(s.mean(`z² ${a}`))).join(' ')}`,
  );
  print(
    `  check on the card           mean ${f(s.mean('check'))}   bend ${f(s.mean('bend'))}   patches left out ${f(s.mean('outlying'))}`,
  );
}

const wanted = (key: string): boolean => !values.only || values.only.split(',').includes(key);
if (wanted('jpeg')) run('Camera JPEG, card measured', { pixels: 'jpeg', cardTier: 'measured' });
if (wanted('nominal')) run('Camera JPEG, card nominal', { pixels: 'jpeg', cardTier: 'nominal' });
if (wanted('patchwise'))
  run('Camera JPEG, card nominal, each patch off by itself', {
    pixels: 'jpeg',
    cardTier: 'nominal',
    misprint: 'by patch',
  });
if (wanted('lab-alone'))
  run('Camera JPEG, card measured, Lab alone', { pixels: 'jpeg', cardTier: 'measured', instrument: 'lab' });
if (wanted('brightened'))
  run('Camera JPEG, card measured, on brightened paper', {
    pixels: 'jpeg',
    cardTier: 'measured',
    brightener: 0.1,
  });
for (const dyesAnywhere_nm of [32, 22])
  if (wanted('other-dyes'))
    run(`Camera JPEG, card measured, dyes with bands anywhere, ${dyesAnywhere_nm} nm or wider`, {
      pixels: 'jpeg',
      cardTier: 'measured',
      dyesAnywhere_nm,
    });
if (wanted('linear')) run('Linear pixels, card measured', { pixels: 'linear', cardTier: 'measured' });
for (const pixels of ['linear', 'jpeg'] as const) {
  const setting = {
    base: { ...BASE, pixels, cardTier: 'measured' as const },
    scenes: SCENES,
    seed: SEED,
    cameraOf,
  };
  if (wanted(`joined-${pixels}`)) joinedRows(setting, print, randomSceneUnderLights);
  if (wanted(`known-${pixels}`)) knownRows(setting, print);
  if (wanted(`sample-${pixels}`)) sampleRow(setting, print, chartPaints());
}
