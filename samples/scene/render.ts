/** Renders a scene as the pixels of a photo, with where everything lies in it. */
import { type Background, type BackgroundName, makeBackground } from './background.ts';
import { blurRows } from './blur.ts';
import { makeDeveloper } from './develop.ts';
import { cornersPx, framed, type QuadPx } from './framing.ts';
import { type Layer, sheetLayers } from './geometry.ts';
import { type LatticeNoise, latticeNoise } from './lattice-noise.ts';
import { onPlane, type Placed } from './layout.ts';
import {
  castShadow,
  type Lamp,
  type PlacedLayer,
  paintLayer,
  placeLayer,
  type RowPlane,
} from './paint-layers.ts';
import { type PanelFinish, panelLayers } from './panel-layers.ts';
import { rawOf } from './pipeline.ts';
import { makeView, type Pose, type View } from './pose.ts';
import { randomOf } from './random.ts';
import { profileOf } from './readings.ts';
import type { Scene } from './scene.ts';
import type { Triple } from './spectral.ts';

type Point = readonly [number, number];

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
  /** Flakes, stripes and grain of single panels. */
  readonly finish?: PanelFinish;
  /** Direction of the main light on the plane, degrees clockwise from x; random when left out. */
  readonly lamp_deg?: number;
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
      readonly lab: Triple;
    }[];
  };
}

export function renderScene(scene: Scene, options: RenderOptions): RenderedScene {
  const { width_px, height_px } = options;
  const things = [
    ...scene.layout.panels,
    ...(options.withoutCard ? [] : [scene.cardPlace, ...scene.layout.strips]),
    ...(options.props ?? []).map((p) => p.place),
  ];
  const pose = framed(things, { ...options, margin: options.margin ?? 0.06, pose: options.pose ?? {} });
  const view = makeView(pose, width_px, height_px);
  const lattice = latticeNoise(scene.seed);
  const layers = [
    ...panelLayers(scene, options.glareChance ?? 0.25, options.finish),
    ...(options.props ?? []),
    ...(options.withoutCard ? [] : cardLayers(scene)),
  ];
  const bits = scene.pipeline.pixels === 'linear' ? 16 : 8;
  const size = 3 * width_px * height_px;
  const data = bits === 16 ? new Uint16Array(size) : new Uint8Array(size);
  const painter = makePainter(
    scene,
    view,
    layers,
    pose.px_per_mm,
    lattice,
    options.background ?? 'wood',
    lampOf(scene, options),
  );
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

function cardLayers(scene: Scene): Layer[] {
  const strips = scene.strips.flatMap((s, i) => sheetLayers(scene, s, scene.layout.strips[i]));
  return [...strips, ...sheetLayers(scene, scene.card, scene.cardPlace)];
}

function lampOf(scene: Scene, options: RenderOptions): Lamp {
  const any = randomOf(scene.seed, 'lamp direction').between(0, 360);
  const direction = ((options.lamp_deg ?? any) * Math.PI) / 180;
  return {
    towards: [Math.cos(direction), Math.sin(direction)],
    softness: scene.light.kind === 'day' ? 0.45 : 0.9,
  };
}

/** Fills rows of linear light from `firstRow` on. */
function makePainter(
  scene: Scene,
  view: View,
  layers: readonly Layer[],
  pxPerMm: number,
  lattice: LatticeNoise,
  backgroundName: BackgroundName,
  lamp: Lamp,
): (band: Float32Array, firstRow: number, count: number) => void {
  const width = view.width_px;
  const background = makeBackground(backgroundName, lattice);
  const [light, dark] = background.spectra.map((s) => rawOf(scene.pipeline, s));
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
      layBench(row, plane, background, light, dark);
      for (const p of shadows) if (y >= p.top && y <= p.bottom) castShadow(row, p, plane, lamp);
      for (const p of placed as readonly PlacedLayer[])
        if (y >= p.top && y <= p.bottom) paintLayer(row, p, plane, lattice, y + 4096, pxPerMm, lamp.towards);
      field(y, levels);
      lightUp(row, levels, scene.flare);
      plane = { x: plane.nextX, y: plane.nextY, nextX: plane.x, nextY: plane.y };
    }
  };
}

function layBench(row: Float32Array, plane: RowPlane, bench: Background, light: Triple, dark: Triple): void {
  const { x, y } = plane;
  const [r, g, b] = light;
  const [dr, dg, db] = [dark[0] - r, dark[1] - g, dark[2] - b];
  for (let i = 0, at = 0; i < x.length; i++, at += 3) {
    const s = Math.min(1.3, Math.max(0, bench.share(x[i], y[i])));
    row[at] = r + s * dr;
    row[at + 1] = g + s * dg;
    row[at + 2] = b + s * db;
  }
}

function lightUp(row: Float32Array, levels: Float32Array, flare: number): void {
  for (let i = 0; i < row.length; i++) row[i] = row[i] * levels[i] + flare;
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
    for (let n = 0, i = 0; i < view.width_px; n++) {
      const red = mixed[3 * n];
      const green = mixed[3 * n + 1];
      const blue = mixed[3 * n + 2];
      const [dr, dg, db] = [mixed[3 * n + 3] - red, mixed[3 * n + 4] - green, mixed[3 * n + 5] - blue];
      for (const end = Math.min(view.width_px, (n + 1) * step); i < end; i++) {
        const s = i / step - n;
        out[3 * i] = red + s * dr;
        out[3 * i + 1] = green + s * dg;
        out[3 * i + 2] = blue + s * db;
      }
    }
  };
}
