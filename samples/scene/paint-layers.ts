/** Painting flat things into a row of linear light, with edges anti-aliased by the share of the pixel they cover. */
import { flakeLight } from './flakes.ts';
import type { GlossSpot, Layer } from './geometry.ts';
import type { LatticeNoise } from './lattice-noise.ts';
import { onPlane } from './layout.ts';
import type { View } from './pose.ts';

/** Plane positions (mm) of one row's pixel centres and of the next row's, for the size of a pixel on the plane. */
export interface RowPlane {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly nextX: Float64Array;
  readonly nextY: Float64Array;
}

/** A layer with where it falls in the photo. */
export interface PlacedLayer {
  readonly layer: Layer;
  readonly cos: number;
  readonly sin: number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

export function placeLayer(layer: Layer, view: View, reach_mm = 0): PlacedLayer {
  const [w, h] = layer.place.size_mm;
  const r = reach_mm;
  const outline = [0, 0.5, 1].flatMap((i) =>
    [0, 0.5, 1].map((j) => view.toPx(onPlane(layer.place, [i * (w + 2 * r) - r, j * (h + 2 * r) - r]))),
  );
  const turn = (layer.place.turn_deg * Math.PI) / 180;
  const xs = outline.map((p) => p[0]);
  const ys = outline.map((p) => p[1]);
  // the lens's bow may push an edge a little past its ends
  const slack = 2 + 0.004 * view.width_px;
  return {
    layer,
    cos: Math.cos(turn),
    sin: Math.sin(turn),
    left: Math.max(0, Math.floor(Math.min(...xs) - slack)),
    right: Math.min(view.width_px - 1, Math.ceil(Math.max(...xs) + slack)),
    top: Math.floor(Math.min(...ys) - slack),
    bottom: Math.ceil(Math.max(...ys) + slack),
  };
}

/** Where the main light comes from, and how wide it is: 0 a point, 1 a tube or window. */
export interface Lamp {
  /** Unit vector on the plane, towards the light. */
  readonly towards: readonly [number, number];
  readonly softness: number;
}

/** Darkens the bench beside a raised thing, away from the lamp. */
export function castShadow(row: Float32Array, p: PlacedLayer, plane: RowPlane, lamp: Lamp): void {
  const { layer } = p;
  const { towards } = lamp;
  const height = layer.height_mm ?? 0;
  const soft = 0.4 + 1.2 * height * lamp.softness;
  const reach = 1.3 * height;
  const [hw, hh] = [layer.place.size_mm[0] / 2, layer.place.size_mm[1] / 2];
  const depth = (0.25 + 0.4 * Math.min(1, height / 2)) * (1.25 - 0.4 * lamp.softness);
  for (let i = p.left; i <= p.right; i++) {
    const dx = plane.x[i] - layer.place.centre_mm[0] + towards[0] * reach;
    const dy = plane.y[i] - layer.place.centre_mm[1] + towards[1] * reach;
    const u = dx * p.cos + dy * p.sin;
    const v = -dx * p.sin + dy * p.cos;
    const d =
      layer.shape === 'disc'
        ? hw - Math.hypot(u, v)
        : Math.min(Math.min(hw - Math.abs(u), 0), Math.min(hh - Math.abs(v), 0)) +
          (Math.abs(u) < hw && Math.abs(v) < hh ? Math.min(hw - Math.abs(u), hh - Math.abs(v)) : 0);
    let t = (d + soft) / (2 * soft);
    if (t <= 0) continue;
    t = t >= 1 ? 1 : t * t * (3 - 2 * t);
    const k = 1 - depth * t;
    row[3 * i] *= k;
    row[3 * i + 1] *= k;
    row[3 * i + 2] *= k;
  }
}

/** Paints one layer into a row; `rowIndex` seeds the grain. */
export function paintLayer(
  row: Float32Array,
  p: PlacedLayer,
  plane: RowPlane,
  noise: LatticeNoise,
  rowIndex: number,
  pxPerMm: number,
  towards: readonly number[],
): void {
  const { layer } = p;
  const [hw, hh] = [layer.place.size_mm[0] / 2, layer.place.size_mm[1] / 2];
  const [cx, cy] = layer.place.centre_mm;
  const grain = (layer.grain ?? 0) * Math.min(1, Math.sqrt(pxPerMm / 5));
  const bevel = layer.height_mm && layer.height_mm > 0.5 ? 0.9 : 0;
  const round = layer.shape === 'disc' ? hw : (layer.rounded_mm ?? 0);
  const [r, g, b] = layer.raw;
  for (let i = p.left; i <= p.right; i++) {
    const dx = plane.x[i] - cx;
    const dy = plane.y[i] - cy;
    const u = dx * p.cos + dy * p.sin;
    const v = -dx * p.sin + dy * p.cos;
    if (Math.abs(u) > hw + 2 || Math.abs(v) > hh + 2) continue;
    let cover: number;
    if (layer.shape === 'tag') cover = tagCover(layer.cells!, u, v, hw, p, plane, i);
    else cover = edgeCover(u, v, hw, hh, round, p, plane, i);
    if (cover <= 0) continue;
    let level = 1;
    if (grain > 0) {
      const n = noise.normals[Math.imul(i + 8191 * rowIndex, 2654435761) >>> 18];
      // flakes: a skewed scatter of mean 1, over slow clouds
      level = Math.exp(grain * n - 0.5 * grain * grain);
      level += 0.006 * noise.at(plane.x[i] * 0.11, plane.y[i] * 0.11);
    }
    if (layer.flakes) level *= flakeLight(layer.flakes, u + hw, v + hh, 1 / pxPerMm);
    if (layer.stripes) {
      const at = layer.stripes.along === 'x' ? u + hw : v + hh;
      level *= 1 + 0.5 * layer.stripes.depth * Math.sin((2 * Math.PI * at) / layer.stripes.every_mm);
    }
    if (layer.dome) level *= 1 - layer.dome * ((u * u + v * v) / (hw * hw));
    if (bevel > 0) level *= 1 + edgeLight(u, v, hw, hh, round, bevel, p, towards);
    if (layer.shade) level *= 1 - glossAt(layer.shade, u + hw, v + hh);
    const shine = layer.gloss ? glossAt(layer.gloss, u + hw, v + hh) : 0;
    const keep = 1 - cover;
    row[3 * i] = keep * row[3 * i] + cover * (r * level + shine);
    row[3 * i + 1] = keep * row[3 * i + 1] + cover * (g * level + shine);
    row[3 * i + 2] = keep * row[3 * i + 2] + cover * (b * level + shine);
  }
}

/** Share of the pixel inside a rectangle (with rounded corners) or disc: a box filter as wide as the pixel's footprint. */
function edgeCover(
  u: number,
  v: number,
  hw: number,
  hh: number,
  round: number,
  p: PlacedLayer,
  plane: RowPlane,
  i: number,
): number {
  const au = Math.abs(u);
  const av = Math.abs(v);
  const nearU = hw - au;
  const nearV = hh - av;
  if (nearU > 1.5 + round && nearV > 1.5 + round) return 1;
  const j = i + 1 < plane.x.length ? i + 1 : i - 1;
  const ax = plane.x[j] - plane.x[i];
  const ay = plane.y[j] - plane.y[i];
  const bx = plane.nextX[i] - plane.x[i];
  const by = plane.nextY[i] - plane.y[i];
  if (round > 0 && nearU < round && nearV < round) {
    const ex = au - (hw - round);
    const ey = av - (hh - round);
    const d = Math.hypot(ex, ey);
    const size = Math.sqrt(Math.abs(ax * by - ay * bx));
    return clamp((round - d) / size + 0.5);
  }
  const gu = Math.hypot(ax * p.cos + ay * p.sin, bx * p.cos + by * p.sin);
  const gv = Math.hypot(-ax * p.sin + ay * p.cos, -bx * p.sin + by * p.cos);
  return covered(-hw, hw, u, gu) * covered(-hh, hh, v, gv);
}

/** Share of [at − size/2, at + size/2] inside [lo, hi]. */
function covered(lo: number, hi: number, at: number, size: number): number {
  const a = Math.max(lo, at - size / 2);
  const b = Math.min(hi, at + size / 2);
  return b > a ? (b - a) / size : 0;
}

function clamp(t: number): number {
  return Math.min(1, Math.max(0, t));
}

/** Share of the pixel on black cells of a tag. */
function tagCover(
  cells: Uint8Array,
  u: number,
  v: number,
  half: number,
  p: PlacedLayer,
  plane: RowPlane,
  i: number,
): number {
  const j = i + 1 < plane.x.length ? i + 1 : i - 1;
  const ax = plane.x[j] - plane.x[i];
  const ay = plane.y[j] - plane.y[i];
  const bx = plane.nextX[i] - plane.x[i];
  const by = plane.nextY[i] - plane.y[i];
  const scale = 4 / half;
  const gu = scale * Math.hypot(ax * p.cos + ay * p.sin, bx * p.cos + by * p.sin);
  const gv = scale * Math.hypot(-ax * p.sin + ay * p.cos, -bx * p.sin + by * p.cos);
  const cu = (u + half) * scale;
  const cv = (v + half) * scale;
  let sum = 0;
  const c0 = Math.max(0, Math.floor(cu - gu / 2));
  const c1 = Math.min(7, Math.floor(cu + gu / 2));
  const r0 = Math.max(0, Math.floor(cv - gv / 2));
  const r1 = Math.min(7, Math.floor(cv + gv / 2));
  for (let row = r0; row <= r1; row++) {
    const wv = covered(row, row + 1, cv, gv);
    for (let column = c0; column <= c1; column++)
      if (cells[8 * row + column]) sum += wv * covered(column, column + 1, cu, gu);
  }
  return sum;
}

/** Light caught by the turned-down edge of a sheet: brighter towards the lamp, darker away from it. */
function edgeLight(
  u: number,
  v: number,
  hw: number,
  hh: number,
  round: number,
  bevel: number,
  p: PlacedLayer,
  towards: readonly number[],
): number {
  const tu = towards[0] * p.cos + towards[1] * p.sin;
  const tv = -towards[0] * p.sin + towards[1] * p.cos;
  if (round >= hw) {
    const d = Math.hypot(u, v);
    const t = clamp(1 - (hw - d) / (2 * bevel));
    return d > 0 ? 0.5 * t * t * ((tu * u + tv * v) / d) : 0;
  }
  const eu = clamp(1 - (hw - Math.abs(u)) / bevel);
  const ev = clamp(1 - (hh - Math.abs(v)) / bevel);
  return 0.45 * (eu * eu * Math.sign(u) * tu + ev * ev * Math.sign(v) * tv);
}

/** Mirrored lamp light at a place in the thing's own mm. */
function glossAt(spots: readonly GlossSpot[], x: number, y: number): number {
  let sum = 0;
  for (const spot of spots) {
    const a = (spot.turn_deg * Math.PI) / 180;
    const dx = x - spot.at_mm[0];
    const dy = y - spot.at_mm[1];
    const u = (dx * Math.cos(a) + dy * Math.sin(a)) / spot.radius_mm[0];
    const v = (-dx * Math.sin(a) + dy * Math.cos(a)) / spot.radius_mm[1];
    const d2 = u * u + v * v;
    if (d2 > 9) continue;
    sum += spot.strength * Math.exp(-0.5 * d2 * d2);
  }
  return sum;
}
