/**
 * The whole chain on real photographs that show a 24-patch chart: 8 of its colours and a grey are taken out of the
 * card and measured as panels, three times with different ones.
 *
 *   npx tsx tests/bench/realphotos.ts FOLDER
 *
 * FOLDER holds truth.json (chart corners a photo), charts/*.card.json and photos/.
 */
import { readFileSync } from 'node:fs';
import { patchQuads } from '../../src/core/card/adopt.ts';
import { parseCard } from '../../src/core/card/definition.ts';
import { placeByCorners } from '../../src/core/card/place.ts';
import type { CardDefinition } from '../../src/core/card/types.ts';
import { deltaE2000, type Lab, labFromXyz, viewing, xyzFromLab } from '../../src/core/color/index.ts';
import { measurePhoto } from '../../src/core/measure/index.ts';
import { sampleQuad } from '../../src/core/photo/index.ts';
import type { QuadPx } from '../../src/core/photo/types.ts';
import { readPhoto } from '../../src/node/read-photo.ts';
import { plainCorrections } from './accuracy/baselines.ts';
import { makeScores, type Scores } from './accuracy/scores.ts';

interface Truth {
  readonly photos: readonly {
    file: string;
    group: string;
    card: string | null;
    corners_px?: [number, number][];
  }[];
}

/** Three splits: every third colour, from another start, and one grey. */
function heldOut(card: CardDefinition, split: number): string[] {
  const colours = card.patches.filter((p) => p.role === 'colour');
  const greys = card.patches.filter((p) => p.role === 'neutral');
  const out: string[] = [];
  for (let k = 0; out.length < 8; k++)
    out.push(colours[(split * 5 + k * (k % 2 ? 2 : 2) + (k >= 9 ? 1 : 0)) % colours.length].id);
  out.push(greys[1 + split].id);
  return out;
}

async function main(folder: string): Promise<void> {
  const truth = JSON.parse(readFileSync(`${folder}/truth.json`, 'utf8')) as Truth;
  const phone = makeScores();
  const rig = makeScores();
  const repeats = new Map<string, Lab[]>();
  for (const photo of truth.photos) {
    if (!photo.card || !photo.corners_px) continue;
    const scores = photo.group.startsWith('rig') ? rig : phone;
    const card = parseCard(
      JSON.parse(readFileSync(`${folder}/charts/${photo.card}.card.json`, 'utf8')),
      photo.card,
    );
    const { raster } = await readPhoto(`${folder}/photos/${photo.file}`);
    const corners_px = photo.corners_px as unknown as QuadPx;
    const quads = new Map(
      patchQuads(placeByCorners(card, corners_px, raster)).map((q) => [q.id, q.corners_px]),
    );
    const own = makeScores();
    const all: Lab[] = [];
    for (const split of [0, 1, 2]) {
      const out = heldOut(card, split);
      const rest = { ...card, patches: card.patches.filter((p) => !out.includes(p.id)) };
      const measured = measurePhoto(raster, {
        card: rest,
        corners_px,
        panels: {
          format: 'sprayout-panels/1',
          panels: out.map((id) => ({ id, corners_px: quads.get(id)!.map((p) => [...p]) as never })),
        },
      });
      const plain = plainCorrections(
        rest.patches.map((p) => ({
          linear: sampleQuad(raster, quads.get(p.id)!).linear,
          lab: p.lab as Lab,
          neutral: p.role === 'neutral',
        })),
      );
      const truths = out.map((id) => card.patches.find((p) => p.id === id)!.lab as Lab);
      const readings = out.map((id) => sampleQuad(raster, quads.get(id)!).linear);
      const labs: Record<string, Lab[]> = {
        ours: measured.panels.map((p) => p.lab),
        matrix: readings.map(plain.matrix),
        greyPoint: readings.map(plain.greyPoint),
      };
      all.push(...labs.ours);
      for (const s of [scores, own]) score(s, labs, truths);
      measured.panels.forEach((p, k) => {
        for (let a = 0; a < 3; a++)
          scores.add('held', Math.abs(p.lab[a] - truths[k][a]) <= Math.hypot(p.u95[a], 1.2) ? 1 : 0);
      });
      own.add('check', measured.card.check.mean_de00);
    }
    repeats.set(photo.file, all);
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
  const [a, b] = ['rig-tracer0.jpg', 'rig-tracer2.jpg'].map((n) => repeats.get(n));
  if (a && b) print(`repeat frames: mean ${f(a.reduce((s, l, i) => s + deltaE2000(l, b[i]), 0) / a.length)}`);
}

function score(s: Scores, labs: Record<string, Lab[]>, truths: readonly Lab[]): void {
  for (const [name, list] of Object.entries(labs))
    list.forEach((lab, k) => {
      s.add(name, deltaE2000(lab, truths[k]));
      for (let j = 0; j < k; j++) {
        const near = deltaE2000(truths[k], truths[j]);
        if (near < 20) s.add(`${name} near`, Math.abs(deltaE2000(lab, list[j]) - near));
      }
    });
}

const print = (line: string): void => void process.stdout.write(`${line}\n`);
const f = (x: number): string => x.toFixed(2);
void [labFromXyz, viewing, xyzFromLab];
await main(process.argv[2]);
