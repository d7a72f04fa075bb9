/**
 * What a raw photo gains over a JPEG of the same bench, and whether the two agree within what they state:
 *
 *   npm run bench:raw [SCENES]
 *
 * Rendered benches whose paint spectra are known, each written as a DNG file of colour filter samples and as a camera
 * JPEG with a tone curve of its own, read from the files as any photo is.
 */
import { photoFile, randomScene, renderScene, type SceneOptions } from '../../samples/scene/index.ts';
import { LIGHT_KINDS } from '../../samples/scene/lights.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { deltaE2000 } from '../../src/core/color/index.ts';
import { type MeasuredPanel, measurePhoto } from '../../src/core/measure/index.ts';
import type { QuadPx } from '../../src/core/photo/types.ts';
import { readPhoto } from '../../src/node/read-photo.ts';
import { dngFile } from '../node/dng-file.ts';
import { makeScores } from './accuracy/scores.ts';

const scenes = Number(process.argv[2] ?? 12);
const first = Number(process.argv[3] ?? 300);
const SIZE = { width_px: 2400, height_px: 1800, glareChance: 0 };
const print = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

interface BothFiles {
  readonly raw: readonly MeasuredPanel[];
  readonly jpeg: readonly MeasuredPanel[];
  readonly truths: readonly (readonly [number, number, number])[];
}

async function bothFiles(seed: number, cardTier: SceneOptions['cardTier']): Promise<BothFiles> {
  const options: SceneOptions = {
    family: 'judge',
    pixels: 'linear',
    card: OWN_CARD,
    cardTier,
    panels: 8,
    light: LIGHT_KINDS[seed % LIGHT_KINDS.length],
  };
  const raw = renderScene(randomScene(seed, options), SIZE);
  const sceneOfJpeg = randomScene(seed, { ...options, pixels: 'jpeg' });
  const jpeg = renderScene(sceneOfJpeg, { ...SIZE, pose: raw.pose });
  const dng = dngFile(
    { ...SIZE, light: (x, y, c) => raw.data[3 * (y * SIZE.width_px + x) + c] / 65535 },
    { bits: 16, white: 16383, black: 512 },
  );
  const measured = async (file: Uint8Array, name: string, scale: number): Promise<readonly MeasuredPanel[]> =>
    measurePhoto((await readPhoto(file, name)).raster, {
      card: sceneOfJpeg.card.definition,
      panels: {
        format: 'sprayout-panels/1',
        panels: raw.truth.panels.map(({ id, corners_px }) => ({
          id,
          corners_px: corners_px.map(([x, y]) => [x * scale, y * scale]) as unknown as QuadPx as never,
        })),
      },
    }).panels;
  return {
    raw: await measured(dng, 'bench.dng', 0.5),
    jpeg: await measured(await photoFile(jpeg, { format: 'jpeg' }), 'bench.jpg', 1),
    truths: raw.truth.panels.map((p) => p.lab),
  };
}

for (const cardTier of ['measured', 'nominal'] as const) {
  const scores = makeScores();
  for (let seed = first; seed < first + scenes; seed++) {
    const { raw, jpeg, truths } = await bothFiles(seed, cardTier);
    truths.forEach((truth, i) => {
      scores.add('raw', deltaE2000(raw[i].lab, truth));
      scores.add('jpeg', deltaE2000(jpeg[i].lab, truth));
      for (let a = 0; a < 3; a++) {
        const apart = Math.abs(raw[i].lab[a] - jpeg[i].lab[a]);
        scores.add('agree', apart <= Math.hypot(raw[i].u95[a], jpeg[i].u95[a]) ? 1 : 0);
        scores.add('raw held', Math.abs(raw[i].lab[a] - truth[a]) <= raw[i].u95[a] ? 1 : 0);
        scores.add('jpeg held', Math.abs(jpeg[i].lab[a] - truth[a]) <= jpeg[i].u95[a] ? 1 : 0);
        scores.add(`raw width ${a}`, raw[i].u95[a]);
        scores.add(`jpeg width ${a}`, jpeg[i].u95[a]);
        if (process.env.VERBOSE && apart > Math.hypot(raw[i].u95[a], jpeg[i].u95[a]))
          print(
            `  ${seed} ${LIGHT_KINDS[seed % LIGHT_KINDS.length]} p${i + 1} axis ${a}: raw ${raw[i].lab[a].toFixed(1)} ±${raw[i].u95[a].toFixed(1)} jpeg ${jpeg[i].lab[a].toFixed(1)} ±${jpeg[i].u95[a].toFixed(1)} truth ${truth[a].toFixed(1)}`,
          );
      }
    });
  }
  const mean = (name: string): string => scores.mean(name).toFixed(2);
  const widths = (name: string): string => [0, 1, 2].map((a) => mean(`${name} width ${a}`)).join(' ');
  print(`${scenes} benches of 8 panels, card ${cardTier}`);
  for (const name of ['raw', 'jpeg'])
    print(
      `  ${name.padEnd(5)} ${mean(name)} ΔE00 from the truth (95th ${scores.quantile(name, 0.95).toFixed(1)}), held ${mean(`${name} held`)}, half-widths ${widths(name)}`,
    );
  print(`  axes on which they agree within the joint interval: ${mean('agree')}`);
}
