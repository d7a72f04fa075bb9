/** A customer's sample among the panels: a paint of any kind, which three channels tell less of than of what was sprayed here. */
import { LIGHT_KINDS, randomScene, sceneReadings } from '../../../samples/scene/index.ts';
import { sampleReflectance } from '../../../samples/scene/paint.ts';
import { randomOf } from '../../../samples/scene/random.ts';
import type { Scene } from '../../../samples/scene/scene.ts';
import { labD50, type Spectrum71 } from '../../../samples/scene/spectral.ts';
import { deltaE2000, type Lab } from '../../../src/core/color/index.ts';
import { comparePanels } from '../../../src/core/compare/index.ts';
import { coloursOf, correctionOf } from './run-scene.ts';
import { makeScores } from './scores.ts';
import type { Setting } from './together.ts';

/** The scene with its last panel taken away for a sample: one of the published paints given, or a made-up one. */
export function withSample(scene: Scene, published?: readonly Spectrum71[]): Scene {
  const random = randomOf(scene.seed, 'sample');
  const spectrum = published ? published[random.below(published.length)] : sampleReflectance(random);
  const last = scene.panels.length - 1;
  const sample = { id: scene.panels[last].id, kind: 'sample', clear: true } as const;
  return {
    ...scene,
    panels: [...scene.panels.slice(0, last), { ...sample, spectrum, lab: labD50(spectrum) }],
  };
}

/** How well samples are read, and their differences from the panels beside them. */
export function sampleRow(
  setting: Setting,
  print: (line: string) => void,
  published?: readonly Spectrum71[],
): void {
  const scores = makeScores();
  for (const light of LIGHT_KINDS)
    for (let i = 0; i < setting.scenes; i++) {
      const camera = setting.cameraOf(i);
      const options = { ...setting.base, light, ...(camera.table ? { camera: camera.table } : {}) };
      const s = sceneReadings(withSample(randomScene(setting.seed + i, options), published));
      const { ensemble, u95 } = coloursOf([s], [correctionOf(s, camera.prior)]);
      const last = s.panels.length - 1;
      const truth = s.truth.panels[last];
      scores.add('error', deltaE2000(ensemble.lab[last], truth.lab));
      for (let a = 0; a < 3; a++) {
        const off = Math.abs(ensemble.lab[last][a] - truth.lab[a]);
        scores.add(`held ${a}`, off <= u95[last][a] ? 1 : 0);
        scores.add(`u95 ${a}`, u95[last][a]);
      }
      const labOf = new Map<string, Lab>(s.truth.panels.map((p) => [p.id, p.lab]));
      for (const { a, b, interval95 } of comparePanels(ensemble).pairs) {
        if (a !== truth.id && b !== truth.id) continue;
        const apart = deltaE2000(labOf.get(a)!, labOf.get(b)!);
        scores.add('pair held', apart >= interval95[0] && apart <= interval95[1] ? 1 : 0);
      }
    }
  const axes = (key: string): string => [0, 1, 2].map((a) => scores.mean(`${key} ${a}`).toFixed(2)).join(' ');
  print(
    `\nA customer's sample, ${setting.base.pixels}: error mean ${scores.mean('error').toFixed(2)}, 95th ${scores.quantile('error', 0.95).toFixed(2)}; holds L* a* b* ${axes('held')}, differences from panels ${scores.mean('pair held').toFixed(2)}; half-widths ${axes('u95')} (${scores.count('error')} samples)`,
  );
}
