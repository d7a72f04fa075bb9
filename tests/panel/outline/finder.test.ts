import { describe, expect, it } from 'vitest';
import { randomScene, renderScene } from '../../../samples/scene/index.ts';
import { OWN_CARD } from '../../../src/core/card/own.ts';
import { placeByCorners } from '../../../src/core/card/place.ts';
import { seededRandom } from '../../../src/core/math/random.ts';
import {
  type FinderPicture,
  outlinePanels,
  pictureForFinder,
} from '../../../src/core/panel/outline/index.ts';
import { srgbProfile } from '../../../src/core/photo/index.ts';
import { quadArea, sharedArea } from '../../../src/core/photo/polygon.ts';
import { loadFinder } from '../../../src/node/finder.ts';
import { nativeRuntime, wasmRuntime } from '../../../src/node/network-runtime.ts';

// an optional package: some machines have no build of it
const hasNative = await import('onnxruntime-node').then(
  () => true,
  () => false,
);

function randomPicture(height: number, width: number): FinderPicture {
  const random = seededRandom(7);
  return { width, height, planes: Float32Array.from({ length: 3 * width * height }, () => random.uniform()) };
}

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
    const panels = outlinePanels(raster, cards, maps);
    expect(panels).toHaveLength(truth.panels.length);
    for (const { corners_px } of panels) {
      const shares = truth.panels.map(
        (real) =>
          sharedArea(corners_px, real.corners_px) / Math.max(quadArea(corners_px), quadArea(real.corners_px)),
      );
      expect(Math.max(...shares)).toBeGreaterThan(0.9);
    }
  });

  it.skipIf(!hasNative)("sees the same by the machine's own runtime as by WebAssembly", async () => {
    const picture = randomPicture(64, 96);
    const [native, wasm] = await Promise.all(
      [nativeRuntime, wasmRuntime].map(async (runtime) => {
        const segment = await loadFinder(undefined, runtime);
        return segment?.(picture);
      }),
    );
    expect(native?.planes).toHaveLength(wasm?.planes.length ?? 0);
    const apart = native?.planes.map((value, i) => Math.abs(value - (wasm?.planes[i] ?? Number.NaN)));
    expect(Math.max(...(apart ?? [Number.NaN]))).toBeLessThan(1e-4);
  });

  it('is done without when its file is missing', async () => {
    expect(await loadFinder('/nowhere/panel-finder.onnx')).toBeUndefined();
  });
});
