import { describe, expect, test } from 'vitest';
import {
  BACKGROUNDS,
  LIGHT_KINDS,
  type RenderedScene,
  randomScene,
  renderScene,
  sceneReadings,
} from '../../samples/scene/index.ts';
import { srgbDecode } from '../../samples/scene/pipeline.ts';
import { makeView } from '../../samples/scene/pose.ts';
import { readCard } from './bench.ts';

const card = readCard('sprayout-a6');
const strips = [readCard('sprayout-strip-1')];
const size = { width_px: 900, height_px: 700 };

/** Mean linear value of a channel over a square of 2·reach + 1 pixels. */
function meanAt(photo: RenderedScene, [x, y]: readonly [number, number], channel: number, reach = 3): number {
  const top = photo.bits === 16 ? 65535 : 255;
  let sum = 0;
  for (let j = -reach; j <= reach; j++)
    for (let i = -reach; i <= reach; i++) {
      const at = 3 * ((Math.floor(y) + j) * photo.width_px + Math.floor(x) + i);
      const v = photo.data[at + channel] / top;
      sum += photo.bits === 16 ? v : srgbDecode(v);
    }
  return sum / (2 * reach + 1) ** 2;
}

describe('the pinhole camera', () => {
  const view = makeView(
    {
      centre_mm: [74, 52],
      px_per_mm: 4,
      tilt_deg: 30,
      tilt_towards_deg: 50,
      rotation_deg: 20,
      focal: 1,
      bow: 0.03,
    },
    1600,
    1200,
  );

  test('maps to the photo and back', () => {
    for (const mm of [
      [0, 0],
      [148, 0],
      [-90, 40],
      [200, 160],
    ] as const) {
      const back = view.toMm(view.toPx(mm));
      expect(Math.hypot(back[0] - mm[0], back[1] - mm[1])).toBeLessThan(1e-6);
    }
  });

  test('without bow, straight lines stay straight and the cross-ratio is kept (projective geometry)', () => {
    const plain = makeView(
      {
        centre_mm: [74, 52],
        px_per_mm: 4,
        tilt_deg: 35,
        tilt_towards_deg: 10,
        rotation_deg: 70,
        focal: 0.9,
        bow: 0,
      },
      1600,
      1200,
    );
    const [a, b, c, d] = [0, 30, 70, 130].map((t) => plain.toPx([t, 0.4 * t]));
    const span = (p: readonly [number, number], q: readonly [number, number]) =>
      Math.hypot(p[0] - q[0], p[1] - q[1]);
    expect(span(a, b) + span(b, d)).toBeCloseTo(span(a, d), 8);
    const ratio = (span(a, c) * span(b, d)) / (span(b, c) * span(a, d));
    expect(ratio).toBeCloseTo((70 * 100) / (40 * 130), 8);
  });
});

describe('rendered scenes', () => {
  test('edges lie where the truth says, to a fiftieth of a pixel', () => {
    const scene = randomScene(4, {
      family: 'judge',
      pixels: 'linear',
      card,
      cardTier: 'measured',
      unevenness: 0,
    });
    const photo = renderScene(scene, {
      ...size,
      // near enough that the border's cells are wider than the blur
      pose: {
        centre_mm: [74, 52],
        px_per_mm: 5,
        tilt_deg: 15,
        tilt_towards_deg: 30,
        rotation_deg: 7,
      },
      noise: 0,
      blur_px: 0.6,
    });
    // the left edge of the first tag's black border, on a row through its upper border cells, against white paper
    const [a, , , d] = photo.truth.markers[0].corners_px;
    for (const t of [0.3, 0.5, 0.7]) {
      const y = Math.floor(a[1] + t * (d[1] - a[1])) + 0.5;
      const x = a[0] + ((y - a[1]) / (d[1] - a[1])) * (d[0] - a[0]);
      const value = (i: number) => photo.data[3 * (Math.floor(y) * photo.width_px + i) + 1];
      const from = Math.floor(x) - 6;
      const white = value(from);
      const black = value(Math.floor(x) + 5);
      // an edge lies where the white pixels' shares end
      let edge = from;
      for (let i = from; i < Math.floor(x) + 5; i++) edge += (value(i) - black) / (white - black);
      expect(Math.abs(edge - x)).toBeLessThan(0.02);
    }
  });

  test('hold the same light as the scene’s readings, in every light, tilted or not', () => {
    LIGHT_KINDS.forEach((light, k) => {
      const pixels = k % 2 ? 'linear' : 'jpeg';
      const scene = randomScene(k, { family: 'judge', pixels, card, strips, cardTier: 'measured', light });
      const photo = renderScene(scene, {
        ...size,
        glareChance: 0,
        background: BACKGROUNDS[k],
        pose: { tilt_deg: 6 * k, tilt_towards_deg: 80 * k, rotation_deg: 50 * k, bow: 0.01 },
      });
      const readings = sceneReadings(scene);
      const off = readings.panels.flatMap((p) =>
        [0, 1, 2].map((c) => {
          const mean = meanAt(photo, photo.toPx(p.at_mm), c);
          return (mean - p.reading.linear[c]) / (p.reading.linear[c] + 0.01);
        }),
      );
      const rms = Math.sqrt(off.reduce((sum, v) => sum + v * v, 0) / off.length);
      // blue under a lamp is dark, and eight bits are coarse there
      expect(rms, light).toBeLessThan(0.013);
    });
  });

  test('keep everything in the photo whatever the tilt and turn', () => {
    for (let seed = 0; seed < 6; seed++) {
      const scene = randomScene(seed, { family: 'tune', pixels: 'jpeg', card, strips, cardTier: 'nominal' });
      const pose = { tilt_deg: 40, tilt_towards_deg: 60 * seed, rotation_deg: 47 * seed, bow: 0.02 };
      const photo = renderScene(scene, { width_px: 320, height_px: 240, background: 'grey', pose });
      const quads = [
        photo.truth.card_px,
        ...photo.truth.strips_px,
        ...photo.truth.panels.map((p) => p.corners_px),
      ];
      for (const [x, y] of quads.flat()) {
        expect(x).toBeGreaterThan(0);
        expect(x).toBeLessThan(320);
        expect(y).toBeGreaterThan(0);
        expect(y).toBeLessThan(240);
      }
    }
  });

  test('come out the same each time', () => {
    const scene = randomScene(9, { family: 'tune', pixels: 'jpeg', card, cardTier: 'measured' });
    const options = { width_px: 240, height_px: 180 };
    const [a, b] = [renderScene(scene, options).data, renderScene(scene, options).data];
    expect(a.every((v, i) => v === b[i])).toBe(true);
  });
});
