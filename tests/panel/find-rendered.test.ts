import { describe, expect, it } from 'vitest';
import { type BackgroundName, randomScene, renderScene } from '../../samples/scene/index.ts';
import { OWN_CARD, OWN_STRIPS } from '../../src/core/card/own.ts';
import { placeByCorners } from '../../src/core/card/place.ts';
import { findPanels } from '../../src/core/panel/index.ts';
import { srgbProfile } from '../../src/core/photo/index.ts';
import { quadArea, sharedArea } from '../../src/core/photo/polygon.ts';

/** Panels of a rendered bench with card and strips: how many there are, how many were found, and how many too many. */
function tally(seed: number, background: BackgroundName) {
  const scene = randomScene(seed, {
    family: 'judge',
    pixels: 'jpeg',
    card: OWN_CARD,
    cardTier: 'measured',
    strips: OWN_STRIPS,
    panels: 4 + (seed % 7),
  });
  const { width_px, height_px, bits, data, truth } = renderScene(scene, {
    width_px: 1000,
    height_px: 750,
    background,
    pose: { tilt_deg: 6 * (seed % 4), rotation_deg: ((seed * 37) % 90) - 45 },
  });
  const cards = [
    placeByCorners(OWN_CARD, truth.card_px),
    ...truth.strips_px.map((quad, i) => placeByCorners(OWN_STRIPS[i], quad)),
  ];
  const panels = findPanels({ width_px, height_px, bits, data, profile: srgbProfile(8) }, cards);
  const same = (a: Parameters<typeof quadArea>[0], b: Parameters<typeof quadArea>[0]): boolean =>
    sharedArea(a, b) > 0.85 * Math.max(quadArea(a), quadArea(b));
  return {
    truth: truth.panels.length,
    found: truth.panels.filter((real) => panels.some((p) => same(p.corners_px, real.corners_px))).length,
    wrong: panels.filter((p) => !truth.panels.some((real) => same(p.corners_px, real.corners_px))).length,
  };
}

describe('candy panels beside the card and its strips', () => {
  it.each<BackgroundName>(['grey', 'concrete', 'cloth', 'wood'])('are found on %s', (background) => {
    const tallies = [101, 102, 103].map((seed) => tally(seed, background));
    const sum = (pick: (t: (typeof tallies)[number]) => number): number =>
      tallies.reduce((total, t) => total + pick(t), 0);
    expect(sum((t) => t.found)).toBeGreaterThanOrEqual(sum((t) => t.truth) - 1);
    expect(sum((t) => t.wrong)).toBeLessThanOrEqual(1);
  });
});
