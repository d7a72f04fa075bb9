/** Renders a scene as the pixels of a photo, with where everything lies in it. */
import { type BackgroundName, makeBackground } from './background.ts';
import { blurRows } from './blur.ts';
import { makeDeveloper } from './develop.ts';
import { type Layer, sheetLayers } from './geometry.ts';
import { type LatticeNoise, latticeNoise } from './lattice-noise.ts';
import { onPlane, type Placed } from './layout.ts';
import { castShadow, type PlacedLayer, paintLayer, placeLayer, type RowPlane } from './paint-layers.ts';
import { panelLayers } from './panel-layers.ts';
import { rawOf } from './pipeline.ts';
import { makeView, type Pose, type View } from './pose.ts';
import { randomOf } from './random.ts';
import { type AreaReading, profileOf } from './readings.ts';
import type { Scene } from './scene.ts';

type Point = readonly [number, number];
export type QuadPx = readonly [Point, Point, Point, Point];

export interface RenderOptions {
  readonly width_px: number;
  readonly height_px: number;
  /** What is left out is chosen so that card and panels fill the photo; tilt, turn and bow are then 0. */
  readonly pose?: Partial<Pose>;
  /** Standard deviation of the lens's blur, px; .6 when left out. */
  readonly blur_px?: number;
  readonly background?: BackgroundName;
  /** Multiplies the sensor's noise, 1 when left out. */
  readonly noise?: number;
  /** Chance of a mirrored lamp on a glossy panel, 0–1; .25 when left out. */
  readonly glareChance?: number;
  /** Bench and panels without the card (and strips). */
  readonly withoutCard?: boolean;
  /** Further things on the bench, painted after the panels and before the card. */
  readonly props?: readonly Layer[];
  /** Share of the photo's width and height left around the things, .06 when left out. */
  readonly margin?: number;
}

export interface RenderedScene {
  readonly width_px: number;
  readonly height_px: number;
  readonly bits: 8 | 16;
  /** Interleaved RGB codes, upright. */
  readonly data: Uint8Array | Uint16Array;
  readonly profile: ReturnType<typeof profileOf>;
  readonly pose: Pose;
  readonly toPx: (mm: Point) => Point;
  readonly truth: {
    readonly card_px: QuadPx;
    readonly markers: readonly { readonly id: number; readonly corners_px: QuadPx }[];
    readonly strips_px: readonly QuadPx[];
    readonly panels: readonly {
      readonly id: string;
      readonly corners_px: QuadPx;
      readonly lab: AreaReading['linear'];
    }[];
  };
}

export function renderScene(scene: Scene, options: RenderOptions): RenderedScene {
  const { width_px, height_px } = options;
  const pose = { ...fittedPose(scene, options), ...options.pose };
  const view = makeView(pose, width_px, height_px);
  const lattice = latticeNoise(scene.seed);
  const layers = [
    ...panelLayers(scene, options.glareChance ?? 0.25),
    ...(options.props ?? []),
    ...(options.withoutCard ? [] : cardLayers(scene)),
  ];
  const bits = scene.pipeline.pixels === 'linear' ? 16 : 8;
  const size = 3 * width_px * height_px;
  const data = bits === 16 ? new Uint16Array(size) : new Uint8Array(size);
  const painter = makePainter(scene, view, layers, pose.px_per_mm, lattice, options.background ?? 'wood');
  const developer = makeDeveloper(scene.pipeline, lattice, options.noise ?? 1);
  const blur = options.blur_px ?? 0.6;
  const reach = blur > 0 ? Math.max(1, Math.ceil(3 * blur)) : 0;
  // in bands, so that large photos need little memory
  const rows = 192;
  const band = new Float32Array(3 * width_px * (rows + 2 * reach));
  for (let top = 0; top < height_px; top += rows) {
    const count = Math.min(rows, height_px - top);
    const painted = count + 2 * reach;
    painter(band, top - reach, painted);
    blurRows(band, width_px, painted, blur);
    developer.develop(band, 3 * width_px * reach, data, 3 * width_px * top, count * width_px);
  }
  const quad = (place: Placed): QuadPx => cornersPx(place, view.toPx);
  return {
    width_px,
    height_px,
    bits,
    data,
    profile: profileOf(scene),
    pose,
    toPx: view.toPx,
    truth: {
      card_px: quad(scene.cardPlace),
      markers: scene.card.definition.markers.map(({ id, corners_mm }) => {
        const [a, b, c, d] = corners_mm.map((p) => view.toPx(onPlane(scene.cardPlace, p)));
        return { id, corners_px: [a, b, c, d] };
      }),
      strips_px: scene.layout.strips.map(quad),
      panels: scene.panels.map((p, i) => ({
        id: p.id,
        lab: p.lab,
        corners_px: quad(scene.layout.panels[i]),
      })),
    },
  };
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

function cardLayers(scene: Scene): Layer[] {
  const strips = scene.strips.flatMap((s, i) => sheetLayers(scene, s, scene.layout.strips[i]));
  return [...strips, ...sheetLayers(scene, scene.card, scene.cardPlace)];
}

/** Square to the camera, as close as keeps everything in the photo. */
function fittedPose(scene: Scene, options: RenderOptions): Pose {
  const things = [
    ...scene.layout.panels,
    ...(options.withoutCard ? [] : [scene.cardPlace, ...scene.layout.strips]),
    ...(options.props ?? []).map((p) => p.place),
  ];
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
    ...options.pose,
  };
  if (options.pose?.px_per_mm) return base;
  const margin = options.margin ?? 0.06;
  let pose = closest(base, corners, options, margin);
  if (options.pose?.centre_mm) return pose;
  // a tilted view is lopsided: move what is in the photo to its middle, then come closer again
  for (let i = 0; i < 3; i++) {
    const view = makeView(pose, options.width_px, options.height_px);
    const [left, right, top, bottom] = boundsOf(corners.map(view.toPx));
    const centre_mm = view.toMm([(left + right) / 2, (top + bottom) / 2]);
    pose = closest({ ...pose, centre_mm }, corners, options, margin);
  }
  return pose;
}

function boundsOf(points: readonly Point[]): [left: number, right: number, top: number, bottom: number] {
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  return [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
}

/** The largest scale at which all points lie inside the margin. */
function closest(pose: Pose, points: readonly Point[], options: RenderOptions, margin: number): Pose {
  const { width_px: w, height_px: h } = options;
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

/** Fills rows of linear light from `firstRow` on. */
function makePainter(
  scene: Scene,
  view: View,
  layers: readonly Layer[],
  pxPerMm: number,
  lattice: LatticeNoise,
  backgroundName: BackgroundName,
): (band: Float32Array, firstRow: number, count: number) => void {
  const width = view.width_px;
  const background = makeBackground(backgroundName, lattice);
  const [light, dark] = background.spectra.map((s) => rawOf(scene.pipeline, s));
  const lamp = randomOf(scene.seed, 'lamp direction').between(0, 2 * Math.PI);
  const towards = [Math.cos(lamp), Math.sin(lamp)];
  const placed = layers.map((l) => placeLayer(l, view));
  const shadows = layers.filter((l) => l.height_mm).map((l) => placeLayer(l, view, 3 * l.height_mm!));
  const field = fieldGrid(scene, view);
  const blank = (): RowPlane['x'] => new Float64Array(width);
  let plane: RowPlane = { x: blank(), y: blank(), nextX: blank(), nextY: blank() };
  const levels = new Float32Array(3 * width);
  return (band, firstRow, count) => {
    view.row(firstRow, plane.x, plane.y);
    for (let k = 0; k < count; k++) {
      const y = firstRow + k;
      view.row(y + 1, plane.nextX, plane.nextY);
      const row = band.subarray(3 * width * k, 3 * width * (k + 1));
      for (let i = 0; i < width; i++) {
        const t = background.share(plane.x[i], plane.y[i]);
        const s = Math.min(1.3, Math.max(0, t));
        row[3 * i] = light[0] + s * (dark[0] - light[0]);
        row[3 * i + 1] = light[1] + s * (dark[1] - light[1]);
        row[3 * i + 2] = light[2] + s * (dark[2] - light[2]);
      }
      for (const p of shadows) if (y >= p.top && y <= p.bottom) castShadow(row, p, plane, towards);
      for (const p of placed as readonly PlacedLayer[])
        if (y >= p.top && y <= p.bottom) paintLayer(row, p, plane, lattice, y + 4096, pxPerMm, towards);
      field(y, levels);
      for (let i = 0; i < 3 * width; i++) row[i] = row[i] * levels[i] + scene.flare;
      plane = { x: plane.nextX, y: plane.nextY, nextX: plane.x, nextY: plane.y };
    }
  };
}

/** The light field per pixel of a row, from a grid of 24 px with straight lines between. */
function fieldGrid(scene: Scene, view: View): (y: number, out: Float32Array) => void {
  const step = 24;
  const columns = Math.ceil(view.width_px / step) + 1;
  const nodes = new Map<number, Float32Array>();
  const nodeRow = (j: number): Float32Array => {
    const known = nodes.get(j);
    if (known) return known;
    const line = new Float32Array(3 * columns);
    for (let i = 0; i < columns; i++) {
      const mm = view.toMm([i * step + 0.5, j * step + 0.5]);
      line.set(scene.field(mm[0], mm[1]), 3 * i);
    }
    if (nodes.size > 4) nodes.clear();
    nodes.set(j, line);
    return line;
  };
  return (y, out) => {
    const j = Math.floor(y / step);
    const t = y / step - j;
    const a = nodeRow(j);
    const b = nodeRow(j + 1);
    const mixed = a.map((v, i) => v + t * (b[i] - v));
    for (let i = 0; i < view.width_px; i++) {
      const n = Math.floor(i / step);
      const s = i / step - n;
      for (let c = 0; c < 3; c++)
        out[3 * i + c] = mixed[3 * n + c] + s * (mixed[3 * n + 3 + c] - mixed[3 * n + c]);
    }
  };
}
