/** Points the camera so that the things on the bench fill the photo. */
import { onPlane, type Placed } from './layout.ts';
import { makeView, type Pose } from './pose.ts';

type Point = readonly [number, number];
export type QuadPx = readonly [Point, Point, Point, Point];

export interface Frame {
  readonly width_px: number;
  readonly height_px: number;
  readonly pose: Partial<Pose>;
  /** Share of width and height left free around the things. */
  readonly margin: number;
}

export function cornersPx(place: Placed, toPx: (mm: Point) => Point): QuadPx {
  const [w, h] = place.size_mm;
  return [
    toPx(onPlane(place, [0, 0])),
    toPx(onPlane(place, [w, 0])),
    toPx(onPlane(place, [w, h])),
    toPx(onPlane(place, [0, h])),
  ];
}

/** What the wanted pose leaves open, chosen so that everything is in the photo and as close as can be. */
export function framed(things: readonly Placed[], frame: Frame): Pose {
  const corners = things.flatMap((t) => cornersPx(t, (mm) => mm) as readonly Point[]);
  const [left, right, top, bottom] = boundsOf(corners);
  const base: Pose = {
    centre_mm: [(left + right) / 2, (top + bottom) / 2],
    px_per_mm: 1,
    tilt_deg: 0,
    tilt_towards_deg: 0,
    rotation_deg: 0,
    focal: 1,
    bow: 0,
    ...frame.pose,
  };
  if (frame.pose.px_per_mm) return base;
  let pose = closest(base, corners, frame);
  if (frame.pose.centre_mm) return pose;
  // a tilted view is lopsided: move what is in the photo to its middle, then come closer again
  for (let i = 0; i < 3; i++) {
    const view = makeView(pose, frame.width_px, frame.height_px);
    const [left, right, top, bottom] = boundsOf(corners.map(view.toPx));
    const centre_mm = view.toMm([(left + right) / 2, (top + bottom) / 2]);
    pose = closest({ ...pose, centre_mm }, corners, frame);
  }
  return pose;
}

function boundsOf(points: readonly Point[]): [left: number, right: number, top: number, bottom: number] {
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  return [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
}

/** The largest scale at which all points lie inside the margin. */
function closest(pose: Pose, points: readonly Point[], frame: Frame): Pose {
  const { width_px: w, height_px: h, margin } = frame;
  const fits = (px_per_mm: number): boolean => {
    const { toPx } = makeView({ ...pose, px_per_mm }, w, h);
    const [left, right, top, bottom] = boundsOf(points.map(toPx));
    return left > margin * w && right < (1 - margin) * w && top > margin * h && bottom < (1 - margin) * h;
  };
  let lo = 0.01;
  let hi = 100;
  for (let i = 0; i < 40; i++) {
    const mid = Math.sqrt(lo * hi);
    if (fits(mid)) lo = mid;
    else hi = mid;
  }
  return { ...pose, px_per_mm: lo };
}
