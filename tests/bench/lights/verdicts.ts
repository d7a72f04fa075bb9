import { randomSceneUnderLights, type SceneOptions, sceneReadings } from '../../../samples/scene/index.ts';
import type { Scene } from '../../../samples/scene/scene.ts';
import { OWN_CARD } from '../../../src/core/card/own.ts';
import { deltaE2000, type Lab } from '../../../src/core/color/index.ts';
import { readAsSeen } from '../../../src/core/correction/as-seen.ts';
import { drawsOf } from '../../../src/core/lights/drawn-difference.ts';
import { judgePair } from '../../../src/core/lights/pair-verdict.ts';
import { correctionOf } from '../accuracy/run-scene.ts';
import { builtPair } from './metameric-pairs.ts';

const N = Number(process.argv[2] ?? 40);
for (const pixels of ['linear', 'jpeg'] as const) {
  let right = 0,
    wrong = 0,
    unsure = 0;
  const rows: string[] = [];
  for (let g = 0; g < N / 4; g++) {
    const built = [0, 1, 2, 3].map((k) => builtPair(1000 + 4 * g + k));
    const shop = (['tri-phosphor', 'warm-led', 'cool-led'] as const)[g % 3];
    const panels = built.flatMap((b) => b.panels).map((p, i) => ({ ...p, id: `p${i + 1}` }));
    const o: SceneOptions = { family: 'judge', pixels, card: OWN_CARD, cardTier: 'measured', panels: 8 };
    const photos = randomSceneUnderLights(7000 + g, o, ['day', shop, 'lamp']).map((s: Scene) =>
      sceneReadings({ ...s, panels }),
    );
    const corr = photos.map((s) => correctionOf(s));
    const read = readAsSeen(
      'D50/2',
      panels.map((p) => p.id),
      corr,
      photos.flatMap((s, photo) =>
        s.panels.map((reading, thing) => ({
          thing,
          photo,
          reading,
          group: process.env.GROUP
            ? thing % 2 === 0 || built[thing >> 1].built === 'one paint'
              ? `a${thing >> 1}`
              : `b${thing >> 1}`
            : 'candy',
        })),
      ),
      { labels: ['sun', 'shop', 'lamp'] },
    );
    const at = (t: number, l: number) => read.members.findIndex((m) => m.thing === t && m.light === l);
    built.forEach((b, k) => {
      const [i, j] = [2 * k, 2 * k + 1];
      const T = (q: number, t: number) => photos[q].truth.panels[t].lab_as_seen_adapted as Lab;
      let c = 0;
      for (const [p, q] of [
        [0, 1],
        [0, 2],
        [1, 2],
      ]) {
        const m = [0, 1, 2].map((a) => (T(p, i)[a] + T(q, j)[a]) / 2) as unknown as Lab;
        const v = m.map(
          (x, a) => x + (T(p, i)[a] - T(p, j)[a]) - (T(q, i)[a] - T(q, j)[a]),
        ) as unknown as Lab;
        c = Math.max(c, deltaE2000(m, v));
      }
      const judged = judgePair(
        [0, 1, 2].map((q) => ({
          a: read.ensemble.lab[at(i, q)],
          b: read.ensemble.lab[at(j, q)],
          drawsA: drawsOf(read.ensemble, at(i, q)),
          drawsB: drawsOf(read.ensemble, at(j, q)),
        })),
        { seen: 0.8, accepted: 1.8 },
      );
      const want = b.built === 'metameric' ? 'parts' : 'holds';
      if (judged.verdict === want) right++;
      else if (judged.verdict === 'unsure') unsure++;
      else wrong++;
      rows.push(
        `${b.built.padEnd(10)} true change ${c.toFixed(2)} told ${judged.change?.de00.toFixed(2)} [${judged.change?.interval95.map((x) => x.toFixed(2))}] chance ${(judged as any).chance?.toFixed(2)} ${judged.verdict} de ${[0, 1, 2].map((q) => deltaE2000(T(q, i), T(q, j)).toFixed(1) + '/' + judged.inLights[q].de00.toFixed(1))}`,
      );
    });
  }
  console.log(pixels, { right, wrong, unsure });
  console.log(rows.sort().join('\n'));
}
