import { describe, expect, it } from 'vitest';
import { randomScene, renderScene } from '../../../samples/scene/index.ts';
import { OWN_CARD } from '../../../src/core/card/own.ts';
import { placeByCorners } from '../../../src/core/card/place.ts';
import { findPanels } from '../../../src/core/panel/index.ts';
import { outlinePanels, pictureForFinder } from '../../../src/core/panel/outline/index.ts';
import { srgbProfile } from '../../../src/core/photo/index.ts';
import { quadArea, sharedArea } from '../../../src/core/photo/polygon.ts';
import { loadFinder } from '../../../src/node/finder.ts';

describe('the trained finder', () => {
  it('finds the panels of a rendered bench, and nothing else', async () => {
    const segment = await loadFinder();
    expect(segment).toBeDefined();
    const scene = randomScene(104, {
      family: 'judge',
      pixels: 'jpeg',
      card: OWN_CARD,
      cardTier: 'measured',
      panels: 6,
    });
    const { truth, ...rendered } = renderScene(scene, {
      width_px: 1000,
      height_px: 750,
      background: 'concrete',
    });
    const raster = { ...rendered, profile: srgbProfile(8) };
    const cards = [placeByCorners(OWN_CARD, truth.card_px)];
    const maps = await segment?.(pictureForFinder(raster));
    if (!maps) throw new Error('no maps');
    const panels = outlinePanels(raster, cards, maps, findPanels(raster, cards));
    expect(panels).toHaveLength(truth.panels.length);
    for (const { corners_px } of panels) {
      const shares = truth.panels.map(
        (real) =>
          sharedArea(corners_px, real.corners_px) / Math.max(quadArea(corners_px), quadArea(real.corners_px)),
      );
      expect(Math.max(...shares)).toBeGreaterThan(0.9);
    }
  });

  it('is done without when its file is missing', async () => {
    expect(await loadFinder('/nowhere/panel-finder.onnx')).toBeUndefined();
  });
});
