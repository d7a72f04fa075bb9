/** Verdicts on pairs built to part, or of one paint, in daylight, a shop light and a lamp. */

import { randomSceneUnderLights, sceneReadings } from '../../../samples/scene/index.ts';
import { OWN_CARD } from '../../../src/core/card/own.ts';
import { DEFAULT_TOLERANCES } from '../../../src/core/compare/index.ts';
import { readAsSeen } from '../../../src/core/correction/as-seen.ts';
import { drawsOf } from '../../../src/core/lights/drawn-difference.ts';
import { judgePair } from '../../../src/core/lights/index.ts';
import { correctionOf } from '../accuracy/run-scene.ts';
import { builtPair } from './metameric-pairs.ts';
import type { WhoTakesPhotos } from './shifts.ts';
import { tintsOf } from './tints.ts';

const SHOP = ['tri-phosphor', 'warm-led', 'cool-led'] as const;

/** `first` is the number of the bench to begin with, four pairs a bench. */
export function verdictRows({
  pairs,
  first = 0,
  pixels,
  who,
}: {
  readonly pairs: number;
  readonly first?: number;
  readonly pixels: 'linear' | 'jpeg';
  readonly who: WhoTakesPhotos;
}): string {
  const counts = { right: 0, unsure: 0, wrong: 0 };
  for (let bench = first; bench < first + pairs / 4; bench++) {
    const built = [0, 1, 2, 3].map((k) => builtPair(2000 + 4 * bench + k));
    const panels = built.flatMap((b) => b.panels).map((p, i) => ({ ...p, id: `p${i + 1}` }));
    const camera = who.camera?.(bench);
    const photos = randomSceneUnderLights(
      7100 + bench,
      { family: 'judge', pixels, card: OWN_CARD, cardTier: 'measured', panels: 8, ...(camera && { camera }) },
      ['day', SHOP[bench % 3], 'lamp'],
    ).map((s) => sceneReadings({ ...s, panels }));
    const { ensemble, members } = readAsSeen(
      'D50/2',
      panels.map((p) => p.id),
      photos.map((s) => correctionOf(s, who.prior)),
      photos.flatMap((s, photo) =>
        s.panels.map((reading, thing) => ({
          thing,
          photo,
          reading,
          group: tintsOf(panels[thing]),
        })),
      ),
      { labels: ['sun', 'shop', 'lamp'] },
    );
    built.forEach((pair, k) => {
      const lights = photos.map((_, light) => {
        const [i, j] = [2 * k, 2 * k + 1].map((thing) =>
          members.findIndex((m) => m.thing === thing && m.light === light),
        );
        return {
          light: String(light),
          a: ensemble.lab[i],
          b: ensemble.lab[j],
          drawsA: drawsOf(ensemble, i),
          drawsB: drawsOf(ensemble, j),
        };
      });
      const [one, other] = pair.panels.map(tintsOf);
      const { verdict } = judgePair(lights, DEFAULT_TOLERANCES, { sameTints: one === other });
      const wanted = pair.built === 'metameric' ? 'parts' : 'holds';
      counts[verdict === wanted ? 'right' : verdict === 'unsure' ? 'unsure' : 'wrong']++;
    });
  }
  return `${pixels}: of ${pairs} pairs from bench ${first} ${counts.right} right, ${counts.unsure} unsure, ${counts.wrong} wrong`;
}
