/** How a photo lies on its stage: which part of it is shown, and how large. Stage positions are CSS pixels. */
import type { PointPx } from '../../core/photo/types.ts';
import type { SizePx } from './quads.ts';

/** What the painter chose: 1 shows the whole photo; `centre` is the photo's pixel in the middle of the stage. */
export interface View {
  readonly zoom: number;
  readonly centre: PointPx;
}

/** Where the photo's top-left corner lies on the stage, and CSS pixels per pixel of the photo. */
export interface Frame {
  readonly left: number;
  readonly top: number;
  readonly scale: number;
}

export const wholePhoto = ([width, height]: SizePx): View => ({ zoom: 1, centre: [width / 2, height / 2] });

const fitScale = (photo: SizePx, stage: SizePx): number => Math.min(stage[0] / photo[0], stage[1] / photo[1]);

/** Largest zoom: three CSS pixels for each of the photo, and eight times at least. */
const mostZoom = (photo: SizePx, stage: SizePx): number => Math.max(8, 3 / fitScale(photo, stage));

/** Where the photo lies for a view. No side of it leaves the stage while the other could fill it. */
export function frameOf({ zoom, centre }: View, photo: SizePx, stage: SizePx): Frame {
  const scale = fitScale(photo, stage) * Math.min(mostZoom(photo, stage), Math.max(1, zoom));
  const start = (axis: 0 | 1): number => {
    const long = photo[axis] * scale;
    if (long <= stage[axis]) return (stage[axis] - long) / 2;
    return Math.min(0, Math.max(stage[axis] - long, stage[axis] / 2 - centre[axis] * scale));
  };
  return { left: start(0), top: start(1), scale };
}

export const toStage = ({ left, top, scale }: Frame, [x, y]: PointPx): PointPx => [
  left + x * scale,
  top + y * scale,
];

export const toPhoto = ({ left, top, scale }: Frame, [x, y]: PointPx): PointPx => [
  (x - left) / scale,
  (y - top) / scale,
];

/** Zooms by a factor; what lies under `at` on the stage stays there, as far as the photo's edges let it. */
export function zoomedAt(view: View, factor: number, at: PointPx, photo: SizePx, stage: SizePx): View {
  const before = frameOf(view, photo, stage);
  const kept = toPhoto(before, at);
  const zoom = Math.min(mostZoom(photo, stage), Math.max(1, view.zoom * factor));
  const scale = fitScale(photo, stage) * zoom;
  return settled(
    { zoom, centre: [kept[0] + (stage[0] / 2 - at[0]) / scale, kept[1] + (stage[1] / 2 - at[1]) / scale] },
    photo,
    stage,
  );
}

/** Moves the photo by CSS pixels. */
export function pannedBy(view: View, [dx, dy]: PointPx, photo: SizePx, stage: SizePx): View {
  const { scale } = frameOf(view, photo, stage);
  const { zoom, centre } = settled(view, photo, stage);
  return settled({ zoom, centre: [centre[0] - dx / scale, centre[1] - dy / scale] }, photo, stage);
}

/** The same view with the centre that is really shown. */
function settled(view: View, photo: SizePx, stage: SizePx): View {
  const frame = frameOf(view, photo, stage);
  return { zoom: view.zoom, centre: toPhoto(frame, [stage[0] / 2, stage[1] / 2]) };
}

/** Side of the loupe and its distance from the stage's edge, CSS pixels. */
export const LOUPE_PX = 132;
const LOUPE_EDGE_PX = 8;

/** CSS pixels per pixel of the photo in the loupe: four times what the stage shows. */
export const loupeScale = ({ scale }: Frame): number => 4 * scale;

/**
 * Where the loupe lies on the stage, its top-left corner: at the top, in the half where the finger is not. A hand comes
 * from below, so that it never covers it.
 */
export function loupePlace(finger: PointPx, [width]: SizePx): PointPx {
  const isLeft = finger[0] >= width / 2;
  return [isLeft ? LOUPE_EDGE_PX : width - LOUPE_PX - LOUPE_EDGE_PX, LOUPE_EDGE_PX];
}
