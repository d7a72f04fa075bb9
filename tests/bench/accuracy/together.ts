/** Several photos joined, and known panels in the frame. */
import {
  LIGHT_KINDS,
  randomScene,
  type randomSceneUnderLights,
  type SceneOptions,
  sceneReadings,
} from '../../../samples/scene/index.ts';
import { deltaE2000 } from '../../../src/core/color/index.ts';
import { type CorrectionPrior, readColours } from '../../../src/core/correction/index.ts';
import { coloursOf, correctionOf, scoreColours, sightingsOf } from './run-scene.ts';
import { makeScores } from './scores.ts';

export interface Setting {
  readonly base: SceneOptions;
  readonly scenes: number;
  readonly seed: number;
  readonly cameraOf: (i: number) => {
    readonly table?: readonly (readonly number[])[];
    readonly prior?: CorrectionPrior;
  };
}

/** The same panels in daylight and in a shop light: each alone, and joined. */
export function joinedRows(
  setting: Setting,
  print: (line: string) => void,
  scenesUnder: typeof randomSceneUnderLights,
): void {
  const shopLights = LIGHT_KINDS.filter((l) => l !== 'day' && l !== 'lamp');
  const day = makeScores();
  const shop = makeScores();
  const joined = makeScores();
  for (let i = 0; i < 2 * setting.scenes; i++) {
    const camera = setting.cameraOf(i);
    const options = { ...setting.base, ...(camera.table ? { camera: camera.table } : {}) };
    const photos = scenesUnder(setting.seed + i, options, ['day', shopLights[i % shopLights.length]]).map(
      sceneReadings,
    );
    const corrections = photos.map((s) => correctionOf(s, camera.prior));
    scoreColours(day, photos[0].truth, coloursOf([photos[0]], [corrections[0]]), 'day');
    scoreColours(shop, photos[1].truth, coloursOf([photos[1]], [corrections[1]]), 'shop');
    const together = coloursOf(photos, corrections);
    scoreColours(joined, photos[0].truth, together, 'joined');
    joined.add('disagree', together.disagreements.length / photos[0].panels.length);
  }
  const better = Math.min(day.mean('error'), shop.mean('error'));
  print(
    `\nJoined, ${setting.base.pixels}: day ${day.mean('error').toFixed(2)}, shop ${shop.mean('error').toFixed(2)}, joined ${joined.mean('error').toFixed(2)} (95th ${joined.quantile('error', 0.95).toFixed(2)}): ratio ${(joined.mean('error') / better).toFixed(2)}; holds L* ${joined.mean('held L*').toFixed(2)} a* ${joined.mean('held a*').toFixed(2)} b* ${joined.mean('held b*').toFixed(2)} pairs ${joined.mean('pair held').toFixed(2)}; wrongly named ${joined.mean('disagree').toFixed(3)}`,
  );
}

/** One panel of a tint known from an instrument: what that does for the others of the tint. */
export function knownRows(setting: Setting, print: (line: string) => void): void {
  const without = makeScores();
  const known = makeScores();
  for (const light of LIGHT_KINDS)
    for (let i = 0; i < setting.scenes; i++) {
      const camera = setting.cameraOf(i);
      const s = sceneReadings(
        randomScene(setting.seed + i, {
          ...setting.base,
          light,
          ...(camera.table ? { camera: camera.table } : {}),
        }),
      );
      const correction = correctionOf(s, camera.prior);
      const tints = s.truth.panels.map((p) => p.tint);
      const first = tints.findIndex((t, k) => t !== undefined && tints.indexOf(t, k + 2) > 0);
      if (first < 0) continue;
      const before = coloursOf([s], [correction]);
      const after = readColours(
        s.card.white,
        s.panels.map((p) => p.id),
        [correction],
        sightingsOf([s]),
        [{ thing: first, lab: s.truth.panels[first].lab, u: 0.3 }],
      );
      s.truth.panels.forEach((t, k) => {
        if (k === first || t.tint !== tints[first] || deltaE2000(t.lab, s.truth.panels[first].lab) < 1e-9)
          return;
        without.add('error', deltaE2000(before.ensemble.lab[k], t.lab));
        known.add('error', deltaE2000(after.ensemble.lab[k], t.lab));
        for (let a = 0; a < 3; a++)
          known.add('held', Math.abs(after.ensemble.lab[k][a] - t.lab[a]) <= after.u95[k][a] ? 1 : 0);
      });
    }
  print(
    `\nKnown panel of the same tint, ${setting.base.pixels}: without ${without.mean('error').toFixed(2)}, with ${known.mean('error').toFixed(2)}: ratio ${(known.mean('error') / without.mean('error')).toFixed(2)}; holds ${known.mean('held').toFixed(2)} (${known.count('error')} panels)`,
  );
}
