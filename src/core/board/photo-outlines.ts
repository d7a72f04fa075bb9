/** Card and panels outlined on a photo, each panel with its id on a plate. */
import { innerQuad, pointInQuadAt, shortestSide } from '../photo/polygon.ts';
import type { PointPx, QuadPx } from '../photo/types.ts';
import { type Lettering, textWidth } from './lettering.ts';
import { GREY, lettered, outline, rectangle, short } from './svg.ts';

interface Outlined {
  readonly card: { readonly corners_px: QuadPx };
  readonly panels: readonly { readonly id: string; readonly corners_px: QuadPx }[];
}

/**
 * Drawn for a photo laid at `at` of the picture and scaled by `scale`; `margin` is the share of a panel trimmed before
 * it was read, and `s` the picture's pixels per unit of its design.
 */
export function outlinesOn(
  photo: Outlined,
  at: { readonly x: number; readonly y: number },
  scale: number,
  margin: number,
  lettering: Lettering,
  s: number,
): string {
  const place = (quad: QuadPx): QuadPx =>
    quad.map(([x, y]): PointPx => [at.x + scale * x, at.y + scale * y]) as unknown as QuadPx;
  const card = outline(place(photo.card.corners_px), 1.8 * s);
  const panels = photo.panels.map(({ id, corners_px }) => {
    const quad = place(corners_px);
    const read = innerQuad(quad, margin);
    const fine = `<path d="M${read.map(([x, y]) => `${short(x)} ${short(y)}`).join('L')}Z" fill="none" stroke="${GREY.line}" stroke-opacity=".55" stroke-width="${short(s)}"/>`;
    return outline(quad, 2.2 * s) + fine + label(id, quad, lettering, s);
  });
  return card + panels.join('');
}

/** A panel's id on a light plate: at the foot of the panel, or under it when the panel is too small to carry it. */
function label(id: string, quad: QuadPx, lettering: Lettering, s: number): string {
  const size = 25 * s;
  const wide = textWidth(lettering, id, size, 'bold') + 18 * s;
  const high = 35 * s;
  const inside = shortestSide(quad) > Math.max(1.3 * wide, 2.4 * high);
  const foot = footOf(quad);
  const middle = pointInQuadAt(quad, 0.5, 0.5);
  const along = inside ? 0.74 : 1;
  const x = middle[0] + along * (foot[0] - middle[0]);
  const y = middle[1] + along * (foot[1] - middle[1]) + (inside ? 0 : 0.5 * high + 6 * s);
  return (
    rectangle(x - wide / 2, y - high / 2, wide, high, GREY.plate, 5 * s) +
    lettered(lettering, id, x - wide / 2 + 9 * s, y + 0.36 * size, size, 'bold')
  );
}

/** Middle of the side that lies lowest in the photo. */
function footOf(quad: QuadPx): PointPx {
  const middles = quad.map((p, i): PointPx => {
    const q = quad[(i + 1) % 4];
    return [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
  });
  return middles.reduce((lowest, m) => (m[1] > lowest[1] ? m : lowest));
}
