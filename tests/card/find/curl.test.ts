import { describe, expect, it } from 'vitest';
import { findCards } from '../../../src/core/card/find/index.ts';
import { placeByMarkers } from '../../../src/core/card/find/placing.ts';
import { OWN_CARD } from '../../../src/core/card/own.ts';
import { seededRandom } from '../../../src/core/math/random.ts';
import { measurePhoto } from '../../../src/core/measure/index.ts';
import type { Raster } from '../../../src/core/photo/index.ts';
import { photo } from './photos.ts';

const SIZE = { width_px: 3000, height_px: 2250 } as const;
const MIDDLE = [74, 52.5] as const;

/** Corners of the card's tags seen by a pinhole camera over a bench, `rise` mm nearer to it than the bench, ±.04 px. */
function seenBy(seed: number, rise: (dx: number, dy: number) => number) {
  const random = seededRandom(seed);
  const between = (a: number, b: number): number => a + (b - a) * random.uniform();
  const away_mm = between(450, 700);
  const focal_px = between(1, 1.5) * 0.5 * Math.hypot(SIZE.width_px, SIZE.height_px);
  const [turn, tilt] = [between(0, 2 * Math.PI), between(0, 0.4)];
  const [aside, ahead] = [between(-120, 60), between(-60, 60)];
  const bow = between(-0.02, 0.02);
  const project = ([x, y]: readonly [number, number]): [number, number] => {
    const [dx, dy] = [x - MIDDLE[0], y - MIDDLE[1]];
    const up = rise(dx, dy);
    const [px, py] = [dx + aside, dy + ahead];
    const X = Math.cos(turn) * px - Math.sin(turn) * py;
    const Y = Math.sin(turn) * px + Math.cos(turn) * py;
    const depth = away_mm - up * Math.cos(tilt) - Y * Math.sin(tilt);
    const u = (focal_px * X) / depth;
    const v = (focal_px * (Y * Math.cos(tilt) - up * Math.sin(tilt))) / depth;
    const lens = 1 + bow * ((u * u + v * v) / (0.25 * (SIZE.width_px ** 2 + SIZE.height_px ** 2)));
    return [SIZE.width_px / 2 + u * lens, SIZE.height_px / 2 + v * lens];
  };
  const noise = (): number => 0.07 * (random.uniform() + random.uniform() + random.uniform() - 1.5);
  return OWN_CARD.markers.map((marker) => ({
    marker,
    corners: Float64Array.from(
      marker.corners_mm.flatMap((c) => project(c as [number, number]).map((v) => v + noise())),
    ),
  }));
}

const told = (seed: number, rise: (dx: number, dy: number) => number) =>
  placeByMarkers(seenBy(seed, rise), SIZE.width_px, SIZE.height_px).curl;

describe('a card that does not lie flat', () => {
  it('is never seen in a flat one, through lenses that bow lines by up to 2 %', () => {
    for (let seed = 0; seed < 200; seed++) expect(told(seed, () => 0)).toBeUndefined();
  });

  it.each([
    [1, 'its short edges up', (h: number) => (dx: number) => h * (dx / 74) ** 2],
    [3, 'its short edges up', (h: number) => (dx: number) => h * (dx / 74) ** 2],
    [2, 'its middle up', (h: number) => (dx: number) => -h * (dx / 74) ** 2],
    [2, 'its long edges up', (h: number) => (_: number, dy: number) => h * (dy / 52.5) ** 2],
  ])('is told with its bend: by %i mm, %s', (h, _, bend) => {
    const curls = Array.from({ length: 100 }, (_, seed) => told(500 + seed, bend(h)));
    const seen = curls.flatMap((c) => (c ? [c] : []));
    // a millimetre is near what corners can tell
    expect(seen.length).toBeGreaterThan(h < 2 ? 75 : 90);
    const [alongX, alongY] = [bend(h)(74, 0), bend(h)(0, 52.5)];
    const middle = (v: number[]): number => v.sort((a, b) => a - b)[v.length >> 1];
    // away from the camera is positive; the focal length is not known, so the size is told within a third
    expect(Math.abs(middle(seen.map((c) => c.xx * 74 ** 2)) + alongX)).toBeLessThan(0.35 * h);
    expect(Math.abs(middle(seen.map((c) => c.yy * 52.5 ** 2)) + alongY)).toBeLessThan(0.35 * h);
  });

  it('is warned of in a photo', () => {
    const tilt_deg = 22;
    const px_per_mm = 5;
    const { raster } = photo(453, {
      width_px: 1300,
      height_px: 1000,
      pose: { centre_mm: [110, 52.5], px_per_mm, tilt_deg, tilt_towards_deg: 90 },
    });
    const [flat] = findCards(raster, [OWN_CARD]);
    expect(flat.curl).toBeUndefined();
    expect(codes(raster)).not.toContain('card-curled');
    // seen aslant, what stands up is seen further on: down the photo or up it
    const shift = Math.sin((tilt_deg * Math.PI) / 180) * px_per_mm;
    const bent = shifted(raster, (x, y) => {
      const [mmX, mmY] = flat.toMm([x + 0.5, y + 0.5]);
      return mmX < 0 || mmY < 0 || mmX > 148 || mmY > 105 ? 0 : 3 * shift * ((mmX - 74) / 74) ** 2;
    });
    expect(codes(bent)).toContain('card-curled');
  });
});

const codes = (raster: Raster): string[] => measurePhoto(raster).warnings.map((w) => w.code);

/** The photo with its pixels moved down by a few, between rows by their share. */
function shifted(raster: Raster, down_px: (x: number, y: number) => number): Raster {
  const { width_px: w, height_px: h, data } = raster;
  const moved = new Uint8Array(data.length);
  for (let y = 0; y < h; y++)
    for (let x = 0; x < w; x++) {
      const from = Math.min(h - 1.001, Math.max(0, y - down_px(x, y)));
      const row = Math.floor(from);
      const share = from - row;
      for (let c = 0; c < 3; c++)
        moved[3 * (y * w + x) + c] = Math.round(
          (1 - share) * data[3 * (row * w + x) + c] + share * data[3 * ((row + 1) * w + x) + c],
        );
    }
  return { ...raster, data: moved };
}
