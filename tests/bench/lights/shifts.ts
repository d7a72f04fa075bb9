/** Colours as seen and their shifts from light to light, against the truth of scenes. */
import { randomSceneUnderLights, type SceneOptions, sceneReadings } from '../../../samples/scene/index.ts';
import { OWN_CARD } from '../../../src/core/card/own.ts';
import { deltaE2000, type Lab } from '../../../src/core/color/index.ts';
import { readAsSeen } from '../../../src/core/correction/as-seen.ts';
import type { CorrectionPrior } from '../../../src/core/correction/index.ts';
import { differenceTold } from '../../../src/core/lights/index.ts';
import { correctionOf } from '../accuracy/run-scene.ts';
import { makeScores } from '../accuracy/scores.ts';
import { tintsOf } from './tints.ts';

export interface WhoTakesPhotos {
  readonly camera?: (i: number) => readonly (readonly number[])[];
  readonly prior?: CorrectionPrior;
}

const PAIRS = [
  ['day', 'lamp'],
  ['day', 'warm-led'],
  ['day', 'cool-led'],
  ['day', 'tri-phosphor'],
  ['warm-led', 'tri-phosphor'],
] as const;
/** What a painter calls each kind of the scenes' lights. */
export const LABELS = {
  day: 'sun',
  lamp: 'lamp',
  'warm-led': 'shop',
  'cool-led': 'shop',
  'tri-phosphor': 'shop',
} as const;

export interface ShiftRun {
  readonly scenes: number;
  readonly pixels: SceneOptions['pixels'];
  readonly cardTier: SceneOptions['cardTier'];
  /** Whether the job names the lights. */
  readonly named: boolean;
  readonly who: WhoTakesPhotos;
}

export function shiftRows({ scenes, pixels, cardTier, named, who }: ShiftRun): string {
  const scores = makeScores();
  for (let i = 0; i < scenes; i++)
    for (const lights of PAIRS) {
      const camera = who.camera?.(i);
      const options: SceneOptions = {
        family: 'judge',
        pixels,
        card: OWN_CARD,
        cardTier,
        panels: 8,
        ...(camera && { camera }),
      };
      const scenes = randomSceneUnderLights(900 + i, options, lights);
      const photos = scenes.map(sceneReadings);
      const seen = readAsSeen(
        'D50/2',
        photos[0].panels.map((p) => p.id),
        photos.map((s) => correctionOf(s, who.prior)),
        photos.flatMap((s, photo) =>
          s.panels.map((reading, thing) => ({
            thing,
            photo,
            reading,
            group: tintsOf(scenes[0].panels[thing]),
          })),
        ),
        { labels: named ? lights.map((l) => LABELS[l]) : undefined },
      );
      const member = (thing: number, light: number): number =>
        seen.members.findIndex((m) => m.thing === thing && m.light === light);
      photos[0].panels.forEach((_, thing) => {
        const truth = photos.map((p) => p.truth.panels[thing].lab_as_seen_adapted as Lab);
        truth.forEach((lab, light) => {
          const m = member(thing, light);
          scores.add('as seen', deltaE2000(seen.ensemble.lab[m], lab));
          for (let a = 0; a < 3; a++)
            scores.add('as seen held', Math.abs(seen.ensemble.lab[m][a] - lab[a]) <= seen.u95[m][a] ? 1 : 0);
        });
        const told = differenceTold(seen.ensemble, member(thing, 0), member(thing, 1));
        const shift = deltaE2000(truth[0], truth[1]);
        scores.add('true shift', shift);
        scores.add('shift error', Math.abs(told.de00 - shift));
        scores.add('shift held', shift >= told.interval95[0] && shift <= told.interval95[1] ? 1 : 0);
        scores.add('shift width', told.interval95[1] - told.interval95[0]);
      });
    }
  const mean = (name: string): string => scores.mean(name).toFixed(2);
  return `${pixels}, ${cardTier} card, lights ${named ? 'named' : 'not named'}: as seen ${mean('as seen')} (95th ${scores.quantile('as seen', 0.95).toFixed(1)}, axes held ${mean('as seen held')}); shifts of ${mean('true shift')} told within ${mean('shift error')} (95th ${scores.quantile('shift error', 0.95).toFixed(1)}), held ${mean('shift held')}, width ${mean('shift width')}`;
}
