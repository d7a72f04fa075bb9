/**
 * The whole chain on real photographs that show a 24-patch chart; the trial is told in realphotos/trial.ts.
 *
 *   npx tsx tests/bench/realphotos.ts FOLDER
 *
 * FOLDER holds truth.json (chart corners a photo), charts/*.card.json and photos/.
 */
import type { Lab } from '../../src/core/color/index.ts';
import { measurePhoto } from '../../src/core/measure/index.ts';
import { sampleQuad } from '../../src/core/photo/index.ts';
import { makeScores } from './accuracy/scores.ts';
import { type ChartPhoto, chartPatches, chartPhotos } from './realphotos/folder.ts';
import { heldOut, meanApart, plainLabs, SPLITS, scoreIntervals, scoreLabs } from './realphotos/trial.ts';

const print = (line: string): void => void process.stdout.write(`${line}\n`);
const f = (x: number): string => x.toFixed(2);

const phone = makeScores();
const rig = makeScores();
const repeats: Lab[][] = [];

for await (const photo of chartPhotos(process.argv[2])) {
  const isRig = photo.group.startsWith('rig');
  const own = makeScores();
  const labs = SPLITS.flatMap((split) => runSplit(photo, split, [isRig ? rig : phone, own]));
  if (isRig) repeats.push(labs);
  print(
    `${photo.file.padEnd(18)} ours ${f(own.mean('ours'))}  3×3 ${f(own.mean('matrix'))}  grey ${f(own.mean('greyPoint'))}  near ${f(own.mean('ours near'))} (plain ${f(own.mean('greyPoint near'))})  check ${f(own.mean('check'))}`,
  );
}
for (const [name, s] of [
  ['phone', phone],
  ['rig', rig],
] as const)
  print(
    `${name}: ours ${f(s.mean('ours'))} / ${f(s.quantile('ours', 0.95))}, 3×3 ${f(s.mean('matrix'))} / ${f(s.quantile('matrix', 0.95))}, grey point ${f(s.mean('greyPoint'))} / ${f(s.quantile('greyPoint', 0.95))}; near differences ours ${f(s.mean('ours near'))}, 3×3 ${f(s.mean('matrix near'))}, grey point ${f(s.mean('greyPoint near'))}; intervals hold ${f(s.mean('held'))}`,
  );
if (repeats.length === 2) print(`repeat frames: mean ${f(meanApart(repeats[0], repeats[1]))}`);

function runSplit(
  { card, raster, corners_px, quads }: ChartPhoto,
  split: number,
  scores: readonly ReturnType<typeof makeScores>[],
): Lab[] {
  const patches = chartPatches(card);
  const out = heldOut(patches, split);
  const measured = measurePhoto(raster, {
    card: { ...card, patches: card.patches.filter((p) => !out.includes(p.id)) },
    corners_px,
    panels: {
      format: 'sprayout-panels/1',
      panels: out.map((id) => ({ id, corners_px: quads.get(id)!.map((p) => [...p]) as never })),
    },
  });
  const labs = measured.panels.map((p) => p.lab);
  const linear = new Map([...quads].map(([id, quad]) => [id, sampleQuad(raster, quad).linear]));
  const plain = plainLabs(patches, linear, out);
  const truths = out.map((id) => patches.find((p) => p.id === id)!.lab);
  for (const s of scores) {
    scoreLabs(s, 'ours', labs, truths);
    scoreLabs(s, 'matrix', plain.matrix, truths);
    scoreLabs(s, 'greyPoint', plain.greyPoint, truths);
    scoreIntervals(
      s,
      labs,
      measured.panels.map((p) => p.u95),
      truths,
    );
    s.add('check', measured.card.check.mean_de00);
  }
  return labs;
}
