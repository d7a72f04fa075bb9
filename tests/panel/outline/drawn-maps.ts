/** Photos and network maps drawn from known outlines: what a faultless network would say. */
import {
  EDGE_MAP,
  GLARE_MAP,
  MAP_COUNT,
  OBJECT_MAP,
  PANEL_MAP,
  type PanelMaps,
} from '../../../src/core/panel/outline/maps.ts';
import { srgbProfile } from '../../../src/core/photo/index.ts';
import type { PointPx, Raster } from '../../../src/core/photo/types.ts';

export const PHOTO = { width_px: 1024, height_px: 768 };
const MAPS = { width: 256, height: 192 };
const SCALE = PHOTO.width_px / MAPS.width;

export interface Drawn {
  /** Corners clockwise as seen, px. */
  readonly outline: readonly PointPx[];
  readonly code: readonly [number, number, number];
}

/** Tells how deep a place lies inside a convex outline given clockwise, px; negative outside. */
function depthIn(outline: readonly PointPx[]): (x: number, y: number) => number {
  const edges = outline.map(([ax, ay], i) => {
    const [bx, by] = outline[(i + 1) % outline.length];
    const length = Math.hypot(bx - ax, by - ay);
    return { ax, ay, along: (bx - ax) / length, down: (by - ay) / length };
  });
  return (x, y) => {
    let least = Number.POSITIVE_INFINITY;
    for (const { ax, ay, along, down } of edges) least = Math.min(least, along * (y - ay) - down * (x - ax));
    return least;
  };
}

/** The things on a grey bench, later ones on top, edges as wide as a pixel. */
export function drawnPhoto(things: readonly Drawn[]): Raster {
  const { width_px, height_px } = PHOTO;
  const data = new Uint8Array(3 * width_px * height_px).fill(150);
  for (const { outline, code } of things) {
    const ys = outline.map((p) => p[1]);
    const depth = depthIn(outline);
    for (
      let y = Math.max(0, Math.floor(Math.min(...ys)) - 1);
      y < Math.min(height_px, Math.max(...ys) + 1);
      y++
    )
      for (let x = 0; x < width_px; x++) {
        const cover = Math.min(1, Math.max(0, depth(x + 0.5, y + 0.5) + 0.5));
        if (cover === 0) continue;
        const at = 3 * (y * width_px + x);
        for (let c = 0; c < 3; c++) data[at + c] += cover * (code[c] - data[at + c]);
      }
  }
  return { ...PHOTO, bits: 8, data, profile: srgbProfile(8) };
}

/** Maps of panels, of objects over them and of glare on them. */
export function drawnMaps(
  panels: readonly (readonly PointPx[])[],
  {
    objects = [],
    glare = [],
  }: { objects?: readonly (readonly PointPx[])[]; glare?: readonly (readonly PointPx[])[] } = {},
): PanelMaps {
  const { width, height } = MAPS;
  const size = width * height;
  const planes = new Float32Array(MAP_COUNT * size);
  const depthOf = (outlines: readonly (readonly PointPx[])[]) =>
    outlines.map(depthIn).map((depth) => (x: number, y: number) => depth(x * SCALE, y * SCALE) / SCALE);
  const [panelsAt, objectsAt, glareAt] = [panels, objects, glare].map(depthOf);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const at = y * width + x;
      const [u, v] = [x + 0.5, y + 0.5];
      for (const depth of panelsAt) {
        const d = depth(u, v);
        planes[PANEL_MAP * size + at] = Math.max(
          planes[PANEL_MAP * size + at],
          Math.min(1, Math.max(0, d + 0.5)),
        );
        planes[EDGE_MAP * size + at] = Math.max(
          planes[EDGE_MAP * size + at],
          Math.max(0, 1 - Math.abs(d) / 1.6),
        );
      }
      if (objectsAt.some((depth) => depth(u, v) > 0)) planes[OBJECT_MAP * size + at] = 1;
      if (glareAt.some((depth) => depth(u, v) > 0)) planes[GLARE_MAP * size + at] = 1;
    }
  return { ...MAPS, planes };
}

export function rectangle(x: number, y: number, w: number, h: number, turn_deg = 0): PointPx[] {
  const a = (turn_deg * Math.PI) / 180;
  const [cx, cy] = [x + w / 2, y + h / 2];
  return [
    [-w / 2, -h / 2],
    [w / 2, -h / 2],
    [w / 2, h / 2],
    [-w / 2, h / 2],
  ].map(
    ([u, v]): PointPx => [cx + u * Math.cos(a) - v * Math.sin(a), cy + u * Math.sin(a) + v * Math.cos(a)],
  );
}
