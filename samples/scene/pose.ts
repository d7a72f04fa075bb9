/** A pinhole camera with a little radial bow, looking at the card's plane. */
import { inverse, type Matrix3, product } from './matrix.ts';

type Point = readonly [number, number];

export interface Pose {
  /** Plane point (mm) in the middle of the photo. */
  readonly centre_mm: Point;
  /** Scale at that point along the tilt's axis. */
  readonly px_per_mm: number;
  /** Angle between the camera's axis and the plane's normal. */
  readonly tilt_deg: number;
  /** Direction in the plane that the camera leans towards. */
  readonly tilt_towards_deg: number;
  /** Turn of the photo about the camera's axis, clockwise as seen. */
  readonly rotation_deg: number;
  /** Focal length over the photo's longer side; 1 is a phone's main camera, near enough. */
  readonly focal: number;
  /** Radial bow at the photo's corner: r ↦ r·(1 + bow·(r/corner)²). */
  readonly bow: number;
}

/** Maps between the plane (mm) and the photo (px, pixel centres at .5). */
export interface View {
  readonly width_px: number;
  readonly height_px: number;
  toPx(mm: Point): Point;
  toMm(px: Point): Point;
  /** Plane positions of the pixel centres of a row, into `x` and `y` (length: width). */
  row(y_px: number, x: Float64Array, y: Float64Array): void;
}

export function makeView(pose: Pose, width_px: number, height_px: number): View {
  const h = homography(pose, width_px, height_px);
  const back = inverse(h);
  const cx = width_px / 2;
  const cy = height_px / 2;
  const corner2 = cx * cx + cy * cy;
  const { bow } = pose;
  const toPx = ([x, y]: Point): Point => {
    const w = h[6] * x + h[7] * y + h[8];
    const u = (h[0] * x + h[1] * y + h[2]) / w;
    const v = (h[3] * x + h[4] * y + h[5]) / w;
    const s = 1 + (bow * (u * u + v * v)) / corner2;
    return [cx + u * s, cy + v * s];
  };
  const at: [number, number] = [0, 0];
  const locate = (px: number, py: number): void => {
    const dx = px - cx;
    const dy = py - cy;
    let s = 1;
    if (bow !== 0) {
      // the scale s at which s = 1 + k/s², by Newton's method
      const k = (bow * (dx * dx + dy * dy)) / corner2;
      s = 1 + k;
      for (let i = 0; i < 3; i++) s -= (s - 1 - k / (s * s)) / (1 + (2 * k) / (s * s * s));
    }
    const u = dx / s;
    const v = dy / s;
    const w = back[6] * u + back[7] * v + back[8];
    at[0] = (back[0] * u + back[1] * v + back[2]) / w;
    at[1] = (back[3] * u + back[4] * v + back[5]) / w;
  };
  return {
    width_px,
    height_px,
    toPx,
    toMm: ([px, py]) => {
      locate(px, py);
      return [at[0], at[1]];
    },
    row: (y_px, x, y) => {
      for (let i = 0; i < width_px; i++) {
        locate(i + 0.5, y_px + 0.5);
        x[i] = at[0];
        y[i] = at[1];
      }
    },
  };
}

/** Plane mm to px about the photo's centre, before the bow. */
function homography(pose: Pose, width_px: number, height_px: number): Matrix3 {
  const f = pose.focal * Math.max(width_px, height_px);
  const distance = f / pose.px_per_mm;
  const tilt = (pose.tilt_deg * Math.PI) / 180;
  const towards = (pose.tilt_towards_deg * Math.PI) / 180;
  const turn = (pose.rotation_deg * Math.PI) / 180;
  const [c, s] = [Math.cos(towards), Math.sin(towards)];
  const [ct, st] = [Math.cos(tilt), Math.sin(tilt)];
  const rotate = (a: number): Matrix3 => [Math.cos(a), -Math.sin(a), 0, Math.sin(a), Math.cos(a), 0, 0, 0, 1];
  // along the lean the plane is foreshortened and recedes
  const lean: Matrix3 = [ct * f, 0, 0, 0, f, 0, st, 0, distance];
  const align: Matrix3 = [c, s, 0, -s, c, 0, 0, 0, 1];
  const unalign: Matrix3 = [c, -s, 0, s, c, 0, 0, 0, 1];
  const shift: Matrix3 = [1, 0, -pose.centre_mm[0], 0, 1, -pose.centre_mm[1], 0, 0, 1];
  return product(rotate(turn), product(unalign, product(lean, product(align, shift))));
}
