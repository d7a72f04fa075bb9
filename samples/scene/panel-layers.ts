/** The panels as they look on the bench: thin sheets with flake grain, and here and there a mirrored lamp. */
import type { GlossSpot, Layer } from './geometry.ts';
import { rawOf } from './pipeline.ts';
import { randomOf, type SceneRandom } from './random.ts';
import type { Scene } from './scene.ts';

/** How a panel's surface is finished, by its number; what is left out is as any panel's. */
export type PanelFinish = (index: number) => Partial<Pick<Layer, 'flakes' | 'stripes' | 'grain' | 'gloss'>>;

export function panelLayers(scene: Scene, glareChance: number, finish?: PanelFinish): Layer[] {
  const random = randomOf(scene.seed, 'panel looks');
  return scene.panels.map((panel, i): Layer => {
    const place = scene.layout.panels[i];
    const flakes = panel.kind === 'solid' ? 0.004 : random.between(0.025, 0.06);
    const mirrored = panel.clear && random.chance(glareChance);
    const spot = glossSpot(place.size_mm, random);
    return {
      place,
      shape: 'rectangle',
      raw: rawOf(scene.pipeline, panel.spectrum),
      rounded_mm: 1.5,
      height_mm: 1.2,
      grain: flakes,
      ...(mirrored ? { gloss: [spot] } : {}),
      ...finish?.(i),
    };
  });
}

/** A lamp's image towards a corner of the panel, so that most of the middle stays clear of it. */
function glossSpot([w, h]: readonly [number, number], random: SceneRandom): GlossSpot {
  return {
    at_mm: [
      w * (random.chance(0.5) ? random.between(0.05, 0.3) : random.between(0.7, 0.95)),
      h * (random.chance(0.5) ? random.between(0.05, 0.3) : random.between(0.7, 0.95)),
    ],
    radius_mm: [w * random.between(0.05, 0.16), h * random.between(0.04, 0.12)],
    turn_deg: random.between(0, 180),
    strength: random.between(0.15, 0.9),
  };
}
