/**
 * Finding markers, checked against OpenCV (its build for JavaScript on npm, Apache-2.0): a general-purpose library
 * with a finder of its own for the same family of tags (DICT_APRILTAG_36h11, objdetect module).
 */
import { createRequire } from 'node:module';
import { beforeAll, describe, expect, it } from 'vitest';
import { findCards } from '../../src/core/card/find/index.ts';
import { applyHomography, fitHomography } from '../../src/core/card/homography.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import type { PointMm, PointPx, Raster } from '../../src/core/photo/index.ts';
import { distance, type Photo, photo } from '../card/find/photos.ts';

interface Matrix {
  readonly rows: number;
  readonly data64F: Float64Array;
  readonly data32F: Float32Array;
  readonly data32S: Int32Array;
  delete(): void;
}
interface Matrices {
  get(i: number): Matrix;
  delete(): void;
}
interface OpenCv {
  onRuntimeInitialized?: () => void;
  readonly CV_8UC1: number;
  readonly CV_64FC2: number;
  readonly DICT_APRILTAG_36h11: { readonly value: number } | number;
  readonly Mat: new () => Matrix;
  readonly MatVector: new () => Matrices;
  readonly aruco_DetectorParameters: new () => {
    cornerRefinementMethod: number;
    minMarkerPerimeterRate: number;
  };
  readonly aruco_RefineParameters: new (rep: number, rate: number, order: boolean) => object;
  readonly aruco_ArucoDetector: new (
    dictionary: object,
    parameters: object,
    refine: object,
  ) => { detectMarkers(image: Matrix, corners: Matrices, ids: Matrix, rejected: Matrices): void };
  matFromArray(rows: number, columns: number, type: number, values: ArrayLike<number>): Matrix;
  findHomography(from: Matrix, to: Matrix): Matrix;
  getPredefinedDictionary(kind: number): object;
}

const cv = createRequire(import.meta.url)('@techstark/opencv-js') as OpenCv;
// the build has a `then` of its own that yields itself: awaiting it would never end
const ready = new Promise<void>((resolve) => {
  cv.onRuntimeInitialized = resolve;
});
beforeAll(() => ready);

describe('a homography through many points', () => {
  it('is the one that OpenCV finds (findHomography, least squares)', () => {
    const random = seededRandom(21);
    for (let trial = 0; trial < 20; trial++) {
      const truth = [
        ...[4 + random.uniform(), random.uniform(), 200 * random.uniform()],
        ...[random.uniform(), 4 + random.uniform(), 200 * random.uniform()],
        ...[0.001 * random.normal(), 0.001 * random.normal(), 1],
      ] as const;
      const from: number[] = [];
      const to: number[] = [];
      for (let i = 0; i < 16; i++) {
        const [x, y] = [148 * random.uniform(), 105 * random.uniform()];
        const [u, v] = applyHomography(truth as never, x, y);
        from.push(x, y);
        to.push(u + 0.05 * random.normal(), v + 0.05 * random.normal());
      }
      const ours = fitHomography(from, to);
      const theirs = cv.findHomography(
        cv.matFromArray(16, 1, cv.CV_64FC2, from),
        cv.matFromArray(16, 1, cv.CV_64FC2, to),
      ).data64F;
      for (const [x, y] of [
        [0, 0],
        [148, 0],
        [148, 105],
        [0, 105],
        [74, 52],
      ] as const) {
        const a = applyHomography(ours, x, y);
        const b = applyHomography([...theirs] as never, x, y);
        // OpenCV minimises distances in the photo at the end, ours algebraic ones: same to a fraction of the noise
        expect(distance(a, b)).toBeLessThan(0.04);
      }
    }
  });
});

/** Corners of the tags that OpenCV finds, by id, in the tag's own order, in our pixel coordinates. */
function foundByOpenCv({
  width_px,
  height_px,
  data,
  profile,
}: Raster): ReadonlyMap<number, readonly PointPx[]> {
  const kind = cv.DICT_APRILTAG_36h11;
  // the same green light, linear as our finder sees it, in the 8 bits that OpenCV reads
  const light = Uint8Array.from({ length: width_px * height_px }, (_, i) =>
    Math.round(255 * profile.decode[1][data[3 * i + 1]]),
  );
  const parameters = new cv.aruco_DetectorParameters();
  parameters.cornerRefinementMethod = 1; // CORNER_REFINE_SUBPIX
  parameters.minMarkerPerimeterRate = 0.02;
  const detector = new cv.aruco_ArucoDetector(
    cv.getPredefinedDictionary(typeof kind === 'number' ? kind : kind.value),
    parameters,
    new cv.aruco_RefineParameters(10, 3, true),
  );
  const image = cv.matFromArray(height_px, width_px, cv.CV_8UC1, light);
  const [corners, ids, rejected] = [new cv.MatVector(), new cv.Mat(), new cv.MatVector()];
  detector.detectMarkers(image, corners, ids, rejected);
  const found = new Map<number, readonly PointPx[]>();
  for (let i = 0; i < ids.rows; i++) {
    const xy = corners.get(i).data32F;
    // OpenCV draws this family turned by half a turn, and counts from pixel centres
    const points = [2, 3, 0, 1].map((k): PointPx => [xy[2 * k] + 0.5, xy[2 * k + 1] + 0.5]);
    found.set(ids.data32S[i], points);
  }
  for (const matrix of [image, corners, ids, rejected]) matrix.delete();
  return found;
}

function middle(points: readonly PointPx[]): PointPx {
  const mean = (k: 0 | 1): number => points.reduce((sum, p) => sum + p[k] / points.length, 0);
  return [mean(0), mean(1)];
}

describe('the tags of the card', () => {
  const photos: Photo[] = [
    { px_per_mm: 5, tilt_deg: 5, rotation_deg: 12 },
    { px_per_mm: 4, tilt_deg: 25, tilt_towards_deg: 70, rotation_deg: 200 },
    { px_per_mm: 5, tilt_deg: 35, tilt_towards_deg: 190, rotation_deg: 95 },
    { px_per_mm: 3.4, tilt_deg: 15, tilt_towards_deg: 300, rotation_deg: 310 },
  ].map((pose, i) =>
    photo(500 + i, { width_px: 1200, height_px: 900, pose: { centre_mm: [74, 52.5], ...pose } }),
  );

  it('are the same tags, at the same places, as OpenCV finds on the same photos', () => {
    for (const { raster, truth } of photos) {
      const theirs = foundByOpenCv(raster);
      const [card] = findCards(raster, [OWN_CARD]);
      expect([...theirs.keys()].sort()).toEqual(OWN_CARD.markers.map((m) => m.id));
      for (const { id, corners_mm } of OWN_CARD.markers) {
        const ours = corners_mm.map((mm) => card.toPx(mm as PointMm));
        const others = theirs.get(id)!;
        // its corners are drawn into the dark square by blur; the middle of the four is not
        ours.forEach((p, k) => {
          expect(distance(p, others[k])).toBeLessThan(1);
        });
        expect(distance(middle(ours), middle(others))).toBeLessThan(0.12);
        const true4 = truth.markers.find((m) => m.id === id)!.corners_px;
        const off = (points: readonly PointPx[]): number =>
          points.reduce((sum, p, k) => sum + distance(p, true4[k]) / 4, 0);
        expect(off(ours)).toBeLessThan(off(others));
      }
    }
  });
});
