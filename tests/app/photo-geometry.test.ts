/** The geometry of outlines on a photo, and of the stage that shows it. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  boxQuad,
  isReadable,
  middleQuad,
  movedCorner,
  movedQuad,
  readingOrder,
  storedQuad,
  tappedQuad,
} from '../../src/app/photos/quads.ts';
import {
  frameOf,
  LOUPE_PX,
  loupePlace,
  loupeScale,
  pannedBy,
  toPhoto,
  toStage,
  wholePhoto,
  zoomedAt,
} from '../../src/app/photos/view.ts';
import type { PointPx, QuadPx } from '../../src/core/photo/types.ts';

const PHOTO = [4000, 3000] as const;
const PHONE_STAGE = [358, 268] as const;
const SEEDED = { seed: 7, numRuns: 200 };

const anyPoint = fc.tuple(
  fc.double({ min: 0, max: 4000, noNaN: true }),
  fc.double({ min: 0, max: 3000, noNaN: true }),
);

describe('an outline', () => {
  it('is the same box whichever corner the drag began at', () => {
    const box = boxQuad([10, 20], [110, 220]);
    expect(boxQuad([110, 20], [10, 220])).toEqual(box);
    expect(boxQuad([110, 220], [10, 20])).toEqual(box);
    expect(box[0]).toEqual([10, 20]);
    expect(box[2]).toEqual([110, 220]);
  });

  it('goes round clockwise from the top left, in whatever order its corners are tapped', () => {
    const corners: PointPx[] = [
      [100, 110],
      [300, 90],
      [320, 400],
      [90, 380],
    ];
    fc.assert(
      fc.property(fc.shuffledSubarray(corners, { minLength: 4 }), (tapped) => {
        expect(tappedQuad(tapped)).toEqual(corners);
      }),
      SEEDED,
    );
  });

  it('is none when the taps lie on a line, on one spot, or are too few', () => {
    expect(
      tappedQuad([
        [0, 0],
        [10, 10],
        [20, 20],
        [30, 30],
      ]),
    ).toBeUndefined();
    expect(
      tappedQuad([
        [5, 5],
        [5, 5],
        [5, 5],
        [5, 5],
      ]),
    ).toBeUndefined();
    expect(
      tappedQuad([
        [0, 0],
        [10, 10],
        [20, 0],
      ]),
    ).toBeUndefined();
  });

  it('never leaves the photo, and keeps its shape when moved whole', () => {
    const quad = middleQuad(PHOTO);
    fc.assert(
      fc.property(
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        (dx, dy) => {
          const moved = movedQuad(quad, [dx, dy], PHOTO);
          const pulled = movedCorner(quad, 2, [dx, dy], PHOTO);
          for (const [x, y] of [...moved, ...pulled]) {
            expect(x).toBeGreaterThanOrEqual(0);
            expect(x).toBeLessThanOrEqual(PHOTO[0]);
            expect(y).toBeGreaterThanOrEqual(0);
            expect(y).toBeLessThanOrEqual(PHOTO[1]);
          }
          expect(moved[1][0] - moved[0][0]).toBeCloseTo(quad[1][0] - quad[0][0], 6);
          expect(moved[3][1] - moved[0][1]).toBeCloseTo(quad[3][1] - quad[0][1], 6);
          expect(
            pulled.filter((p, i) => p[0] === quad[i][0] && p[1] === quad[i][1]).length,
          ).toBeGreaterThanOrEqual(3);
        },
      ),
      SEEDED,
    );
  });

  it('is stored to a tenth of a pixel, and one in the middle can be read', () => {
    expect(storedQuad(boxQuad([1.234, 5.678], [9, 9.96]))[0]).toEqual([1.2, 5.7]);
    expect(isReadable(middleQuad(PHOTO))).toBe(true);
    expect(isReadable(boxQuad([0, 0], [3, 300]))).toBe(false);
  });

  it('has its number by rows from the top, each from the left', () => {
    const at = (id: string, x: number, y: number): { id: string; corners_px: QuadPx } => ({
      id,
      corners_px: boxQuad([x, y], [x + 80, y + 100]),
    });
    const bench = [at('d', 300, 420), at('b', 200, 110), at('c', 90, 400), at('a', 50, 95)];
    expect(readingOrder(bench).map((p) => p.id)).toEqual(['a', 'b', 'c', 'd']);
  });
});

describe('the stage', () => {
  it('shows the whole photo at first, in the middle', () => {
    const frame = frameOf(wholePhoto(PHOTO), PHOTO, PHONE_STAGE);
    expect(toStage(frame, [2000, 1500])).toEqual([179, 134]);
    expect(frame.scale * PHOTO[1]).toBeLessThanOrEqual(PHONE_STAGE[1] + 1e-9);
  });

  it('keeps what lies under the fingers there while zooming, away from the photo’s edges', () => {
    const at: PointPx = [180, 130];
    let view = wholePhoto(PHOTO);
    const under = toPhoto(frameOf(view, PHOTO, PHONE_STAGE), at);
    view = zoomedAt(view, 3, at, PHOTO, PHONE_STAGE);
    const now = toStage(frameOf(view, PHOTO, PHONE_STAGE), under);
    expect(now[0]).toBeCloseTo(at[0], 6);
    expect(now[1]).toBeCloseTo(at[1], 6);
  });

  it('never shows nothing: a photo larger than the stage covers it', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.double({ min: 0.3, max: 4, noNaN: true }), anyPoint, anyPoint), {
          maxLength: 8,
        }),
        (steps) => {
          let view = wholePhoto(PHOTO);
          for (const [factor, [x, y], [dx, dy]] of steps) {
            view = zoomedAt(view, factor, [x % 358, y % 268], PHOTO, PHONE_STAGE);
            view = pannedBy(view, [dx - 2000, dy - 1500], PHOTO, PHONE_STAGE);
          }
          const { left, top, scale } = frameOf(view, PHOTO, PHONE_STAGE);
          for (const [start, axis] of [
            [left, 0],
            [top, 1],
          ] as const) {
            const long = PHOTO[axis] * scale;
            if (long <= PHONE_STAGE[axis]) continue;
            expect(start).toBeLessThanOrEqual(1e-9);
            expect(start + long).toBeGreaterThanOrEqual(PHONE_STAGE[axis] - 1e-9);
          }
        },
      ),
      SEEDED,
    );
  });
});

describe('the loupe', () => {
  it('shows four times what the stage shows', () => {
    expect(loupeScale({ left: 0, top: 0, scale: 0.1 })).toBeCloseTo(0.4, 12);
  });

  it('never lies under the finger, on stages from the narrowest phone on', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 320, max: 1600 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (width, u, v) => {
          const finger: PointPx = [u * width, v * 0.75 * width];
          const [left, top] = loupePlace(finger, [width, 0.75 * width]);
          const dx = Math.max(left - finger[0], 0, finger[0] - left - LOUPE_PX);
          const dy = Math.max(top - finger[1], 0, finger[1] - top - LOUPE_PX);
          expect(Math.hypot(dx, dy)).toBeGreaterThan(15);
          expect(left).toBeGreaterThanOrEqual(0);
          expect(left + LOUPE_PX).toBeLessThanOrEqual(width);
        },
      ),
      SEEDED,
    );
  });
});
