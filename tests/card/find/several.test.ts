import { describe, expect, it } from 'vitest';
import { sheetLayers } from '../../../samples/scene/geometry.ts';
import { randomScene, renderScene } from '../../../samples/scene/index.ts';
import { findCards } from '../../../src/core/card/find/index.ts';
import { OWN_CARD } from '../../../src/core/card/own.ts';
import { measurePhoto } from '../../../src/core/measure/index.ts';
import { srgbProfile } from '../../../src/core/photo/index.ts';

describe('two cards in one photo', () => {
  const scene = randomScene(12, {
    family: 'tune',
    pixels: 'jpeg',
    card: OWN_CARD,
    cardTier: 'measured',
    panels: 2,
    light: 'day',
  });
  const beside = { centre_mm: [74, -80] as const, size_mm: [148, 105] as const, turn_deg: 4 };
  const photo = renderScene(scene, {
    width_px: 1500,
    height_px: 1500,
    glareChance: 0,
    props: sheetLayers(scene, scene.card, beside).map((l) => l),
  });
  const raster = { ...photo, profile: srgbProfile(8) };

  it('are both found, each where it lies', () => {
    const cards = findCards(raster, [OWN_CARD]);
    expect(cards).toHaveLength(2);
    const centres = cards.map((c) => c.toPx([74, 52.5])).sort((a, b) => a[1] - b[1]);
    const truth = [photo.toPx([74, -80]), photo.toPx([74, 52.5])].sort((a, b) => a[1] - b[1]);
    centres.forEach(([x, y], i) => {
      expect(Math.hypot(x - truth[i][0], y - truth[i][1])).toBeLessThan(1);
    });
  });

  it('are read together, and the answer says so', () => {
    const measured = measurePhoto(raster, {
      panels: {
        format: 'sprayout-panels/1',
        panels: photo.truth.panels.map((p) => ({ id: p.id, corners_px: p.corners_px as never })),
      },
    });
    expect(measured.warnings.map((w) => w.code)).toContain('several-cards');
    expect(measured.card.check.patches_used).toBeGreaterThan(OWN_CARD.patches.length);
  });
});
