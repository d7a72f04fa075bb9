import { SprayoutError } from '../core/errors.ts';
import { isConvexQuad } from '../core/photo/polygon.ts';
import type { PointPx, QuadPx } from '../core/photo/types.ts';
import { plainNumber } from './parse-mix.ts';

/** `"x,y x,y x,y x,y"` as corners. Throws `corners-invalid`. */
export function cornersOf(text: string): QuadPx {
  const points = text.trim().split(/\s+/).map(pointOf);
  if (points.length !== 4 || points.some((p) => p === undefined))
    throw new SprayoutError(
      'corners-invalid',
      `--card-corners ${JSON.stringify(text)} is not four points.`,
      'Write them as "x,y x,y x,y x,y" in pixels: top left, top right, bottom right, bottom left of the card.',
    );
  const corners = points as unknown as QuadPx;
  if (!isConvexQuad(corners))
    throw new SprayoutError(
      'corners-invalid',
      `--card-corners ${JSON.stringify(text)} make no quadrilateral.`,
      'Give the corners in turn: top left, top right, bottom right, bottom left of the card.',
    );
  return corners;
}

function pointOf(text: string): PointPx | undefined {
  const [x, y, ...more] = text.split(',').map(plainNumber);
  return more.length === 0 && Number.isFinite(x) && Number.isFinite(y) ? [x, y] : undefined;
}
