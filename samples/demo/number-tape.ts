/** Bits of masking tape with a panel's number on them, as a painter labels panels on the bench. */
import { type Layer, lettering } from '../scene/geometry.ts';
import type { Placed } from '../scene/layout.ts';
import { ADVANCE } from '../scene/lettering.ts';
import { rawOf } from '../scene/pipeline.ts';
import type { SceneRandom } from '../scene/random.ts';
import type { Scene } from '../scene/scene.ts';
import { edge, spectrumOf } from '../scene/spectral.ts';

type Point = readonly [number, number];

/** A piece of tape about `centre_mm` with a number in felt pen. */
export function numberTape(scene: Scene, number: string, centre_mm: Point, random: SceneRandom): Layer[] {
  const tape: Placed = {
    centre_mm,
    size_mm: [21 + random.between(-2, 2), 11],
    turn_deg: random.normal(0, 3),
  };
  const paper = rawOf(
    scene.pipeline,
    spectrumOf((nm) => 0.66 * (0.55 + 0.45 * edge(nm, 505, 38))),
  );
  const ink = rawOf(
    scene.pipeline,
    spectrumOf(() => 0.045),
  );
  const height = 6.6;
  const left = (tape.size_mm[0] - ((number.length * ADVANCE - 2) * height) / 6) / 2;
  return [
    { place: tape, shape: 'rectangle', raw: paper, height_mm: 0.25, grain: 0.02 },
    ...lettering(tape, number, [left, 2.2], height).map(
      (place): Layer => ({ place, shape: 'rectangle', raw: ink, rounded_mm: 0.4 }),
    ),
  ];
}
