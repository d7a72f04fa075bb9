/**
 * How well lights are told, on scenes with known spectra:
 *
 *   npx tsx tests/bench/lights.ts [SCENES] [DATA_FOLDER] [PAIRS] [FIRST_BENCH]
 *
 * With a folder of published cameras and lights (see `calibration/prior/learn-prior.ts`), every fifth camera takes the
 * photos and both priors are learned anew from the others.
 */

import { learnLights } from '../../calibration/prior/learn-lights.ts';
import { learnPrior, readPublishedTables } from '../../calibration/prior/learn-prior.ts';
import { lightPriors } from '../../src/core/correction/light-prior.ts';
import { correctionPrior } from '../../src/core/correction/prior.ts';
import { shiftRows, type WhoTakesPhotos } from './lights/shifts.ts';
import { verdictRows } from './lights/verdicts.ts';

const scenes = Number(process.argv[2] ?? 6);
const folder = process.argv[3] || undefined;
const pairs = Number(process.argv[4] ?? 40);
const firstBench = Number(process.argv[5] ?? 0);
const print = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

function heldOutCameras(from: string): WhoTakesPhotos {
  const { cameras, lights, training } = readPublishedTables(from);
  const judges = cameras.filter((_, i) => i % 5 === 2);
  const others = cameras.filter((_, i) => i % 5 !== 2);
  const learned = learnPrior(others, lights, training);
  return {
    camera: (i) => judges[i % judges.length],
    prior: correctionPrior(learned, lightPriors(learnLights(others, lights, training, learned))),
  };
}

const who: WhoTakesPhotos = folder ? heldOutCameras(folder) : {};
for (const [pixels, cardTier] of [
  ['linear', 'measured'],
  ['jpeg', 'measured'],
  ['jpeg', 'nominal'],
] as const)
  for (const named of [true, false]) print(shiftRows({ scenes, pixels, cardTier, named, who }));
for (const pixels of ['linear', 'jpeg'] as const)
  print(verdictRows({ pairs, first: firstBench, pixels, who }));
