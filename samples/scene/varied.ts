/**
 * Benches as varied as shops are: panels in rows, edge to edge, strewn about, lids, panels of nearly the bench's colour;
 * tiles, print, ribs and wood under them; shadows, fingers, tape and pages beside them. For judging how panels are found.
 */
import { makeBackground } from './background.ts';
import { framed } from './framing.ts';
import type { GlossSpot, Layer } from './geometry.ts';
import {
  BACKGROUNDS,
  type BackgroundName,
  type RenderOptions,
  randomScene,
  type Scene,
  type SceneOptions,
} from './index.ts';
import { latticeNoise } from './lattice-noise.ts';
import { onPlane, type Placed, type PlaceMm } from './layout.ts';
import { rawOf } from './pipeline.ts';
import { randomOf, type SceneRandom } from './random.ts';
import { labD50, type Spectrum71, type Triple } from './spectral.ts';
import { benchProps, fingers, LAID_BENCHES, type LaidBench, page, tapeStrip } from './varied-props.ts';

export interface VariedOptions extends Omit<SceneOptions, 'panels'> {
  readonly width_px: number;
  readonly height_px: number;
  /** Mirrored lamps: none, here and there (left out), or over a fifth of every panel. */
  readonly glare?: 'none' | 'some' | 'a fifth';
  readonly bench?: BackgroundName | LaidBench;
  readonly arrangement?: Arrangement;
  /** Nothing lies on panels and no shadow falls on them. */
  readonly undisturbed?: boolean;
}

export const ARRANGEMENTS = ['rows', 'edge to edge', 'strewn', 'lids', 'like the bench'] as const;
export type Arrangement = (typeof ARRANGEMENTS)[number];

export interface VariedPanel {
  readonly id: string;
  readonly shape: 'rectangle' | 'disc';
  readonly place: Placed;
  readonly lab: Triple;
}

export interface VariedScene {
  readonly scene: Scene;
  readonly render: RenderOptions;
  readonly panels: readonly VariedPanel[];
  readonly bench: BackgroundName | LaidBench;
  readonly arrangement: Arrangement;
}

/** The outline of a panel on the plane, mm: four corners, or sixty-four points of a disc. */
export function outlineMm({ place, shape }: VariedPanel): readonly PlaceMm[] {
  const [w, h] = place.size_mm;
  if (shape === 'rectangle')
    return [
      [0, 0],
      [w, 0],
      [w, h],
      [0, h],
    ].map(([x, y]) => onPlane(place, [x, y]));
  return Array.from({ length: 64 }, (_, i) => {
    const a = (2 * Math.PI * i) / 64;
    return onPlane(place, [(w / 2) * (1 + Math.cos(a)), (h / 2) * (1 + Math.sin(a))]);
  });
}

/** A random varied scene with what to hand to `renderScene`. The same seed and options give the same scene. */
export function variedScene(seed: number, options: VariedOptions): VariedScene {
  const random = randomOf(seed, 'varied');
  const bench = options.bench ?? random.pick([...BACKGROUNDS, ...LAID_BENCHES]);
  const arrangement = options.arrangement ?? random.pick(ARRANGEMENTS);
  const made = randomScene(seed, { ...options, panels: 4 + random.below(8) });
  const card = options.card.size_mm;
  const places = arrange(arrangement, made.panels.length, card, random);
  const chosen = made.panels.slice(0, places.length);
  const background = laidOn(bench);
  const spectra = chosen.map((panel) =>
    arrangement === 'like the bench' && random.chance(0.6)
      ? benchLike(background, seed, random)
      : panel.spectrum,
  );
  const shape = arrangement === 'lids' ? 'disc' : 'rectangle';
  const panels = chosen.map(
    ({ id }, i): VariedPanel => ({ id, shape, place: places[i], lab: labD50(spectra[i]) }),
  );
  const things = [...places, made.cardPlace, ...made.layout.strips];
  const pose = framed(options.strips ? things : things.slice(0, places.length + 1), {
    width_px: options.width_px,
    height_px: options.height_px,
    margin: random.between(0.04, 0.14),
    pose: {
      tilt_deg: Math.abs(random.normal(0, 11)),
      tilt_towards_deg: random.between(0, 360),
      rotation_deg: random.chance(0.7) ? random.normal(0, 5) : random.between(-180, 180),
      bow: random.normal(0, 0.006),
    },
  });
  // panels are painted by this module, over the laid bench, with what lies on them
  const scene: Scene = {
    ...made,
    panels: [],
    layout: { panels: [], strips: made.layout.strips },
    ...(options.undisturbed ? {} : { field: shaded(made.field, places, random) }),
  };
  const props: Layer[] = [
    ...benchProps(bench, scene.pipeline, random),
    ...(random.chance(0.35) && !options.undisturbed
      ? page(scene.pipeline, freePlace(places, card, random), random)
      : []),
    ...panels.map((panel, i) => panelLayer(panel, spectra[i], scene, options.glare ?? 'some', random)),
    ...(options.undisturbed ? [] : disturbances(scene, places, random)),
  ];
  return {
    scene,
    render: {
      width_px: options.width_px,
      height_px: options.height_px,
      pose,
      background,
      props,
      blur_px: random.between(0.4, 1.1),
    },
    panels,
    bench,
    arrangement,
  };
}

/** What the painter's own bench is under a laid one. */
function laidOn(bench: BackgroundName | LaidBench): BackgroundName {
  return (BACKGROUNDS as readonly string[]).includes(bench) ? (bench as BackgroundName) : 'grey';
}

function benchLike(bench: BackgroundName, seed: number, random: SceneRandom): Spectrum71 {
  const [light, dark] = makeBackground(bench, latticeNoise(seed)).spectra;
  const share = random.between(0.2, 0.8);
  const level = Math.exp(random.normal(0, 0.15));
  return light.map((v, i) => Math.min(0.9, level * (v + share * (dark[i] - v))));
}

function arrange(kind: Arrangement, count: number, card: PlaceMm, random: SceneRandom): Placed[] {
  const w = kind === 'lids' ? random.between(55, 110) : random.between(38, 95);
  const h = kind === 'lids' ? w : w * random.between(0.75, 1.6);
  const gap = kind === 'edge to edge' ? random.between(0, 1.2) : random.between(4, 25);
  const strewn = kind === 'strewn';
  const taken: Placed[] = [{ centre_mm: [card[0] / 2, card[1] / 2], size_mm: card, turn_deg: 0 }];
  const pitch: PlaceMm = strewn ? [Math.hypot(w, h) + 4, Math.hypot(w, h) + 4] : [w + gap, h + gap];
  const slots: PlaceMm[] = [];
  for (let i = -7; i <= 7; i++)
    for (let j = -7; j <= 7; j++)
      slots.push([card[0] / 2 + (i + 0.5) * pitch[0], card[1] / 2 + (j + 0.5) * pitch[1]]);
  const towards = random.between(0, 2 * Math.PI);
  const focus: PlaceMm = [card[0] / 2 + 130 * Math.cos(towards), card[1] / 2 + 110 * Math.sin(towards)];
  slots.sort(
    (a, b) => Math.hypot(a[0] - focus[0], a[1] - focus[1]) - Math.hypot(b[0] - focus[0], b[1] - focus[1]),
  );
  const places: Placed[] = [];
  for (const slot of slots) {
    if (places.length === count) break;
    const place: Placed = {
      centre_mm:
        kind === 'edge to edge' ? slot : [slot[0] + random.normal(0, 1), slot[1] + random.normal(0, 1)],
      size_mm: [w, h],
      turn_deg: strewn ? random.between(0, 360) : kind === 'edge to edge' ? 0 : random.normal(0, 1.5),
    };
    const reach = strewn ? Math.hypot(w, h) / 2 : 0;
    const clear = [w / 2, h / 2].map((half, axis) => Math.max(half, reach) + taken[0].size_mm[axis] / 2 + 8);
    const offCard = [0, 1].some(
      (axis) => Math.abs(place.centre_mm[axis] - taken[0].centre_mm[axis]) > clear[axis],
    );
    if (offCard) places.push(place);
  }
  return places;
}

function panelLayer(
  panel: VariedPanel,
  spectrum: Spectrum71,
  scene: Scene,
  glare: NonNullable<VariedOptions['glare']>,
  random: SceneRandom,
): Layer {
  const [w, h] = panel.place.size_mm;
  const gloss =
    glare === 'none' || (glare === 'some' && !random.chance(0.3))
      ? []
      : [glossOn(w, h, glare === 'a fifth', random)];
  return {
    place: panel.place,
    shape: panel.shape,
    raw: rawOf(scene.pipeline, spectrum),
    rounded_mm: random.pick([0.4, 1.5, 1.5, 5]),
    height_mm: random.between(0.4, 1.6),
    grain: random.between(0.004, 0.06),
    ...(gloss.length > 0 ? { gloss } : {}),
  };
}

/** A mirrored lamp; `fifth` makes it as large as a fifth of the panel, its light falling to a half at .86 of its radii. */
function glossOn(w: number, h: number, fifth: boolean, random: SceneRandom): GlossSpot {
  const share = fifth ? Math.sqrt(0.2 / (Math.PI * 1.69)) : random.between(0.05, 0.2);
  const stretch = Math.exp(random.normal(0, 0.25));
  return {
    at_mm: [w * random.between(0.3, 0.7), h * random.between(0.3, 0.7)],
    radius_mm: [w * share * stretch, (h * share) / stretch],
    turn_deg: 0,
    strength: fifth ? random.between(0.25, 0.9) : random.between(0.1, 0.9),
  };
}

/** Soft shadows over bench and panels: one of somebody's outline, one with a straight edge. */
function shaded(field: Scene['field'], places: readonly Placed[], random: SceneRandom): Scene['field'] {
  if (!random.chance(0.35)) return field;
  const at = random.pick(places).centre_mm;
  const reach = random.between(40, 140);
  const depth = random.between(0.1, 0.45);
  const soft = random.between(8, 60);
  const turn = random.between(0, 2 * Math.PI);
  const straight = random.chance(0.5);
  return (x, y) => {
    const dx = x - at[0];
    const dy = y - at[1];
    const inside = straight ? dx * Math.cos(turn) + dy * Math.sin(turn) : reach - Math.hypot(dx, 0.7 * dy);
    const t = Math.min(1, Math.max(0, inside / soft + 0.5));
    const keep = 1 - depth * t * t * (3 - 2 * t);
    const [r, g, b] = field(x, y);
    return [r * keep, g * keep, b * keep];
  };
}

function freePlace(places: readonly Placed[], card: PlaceMm, random: SceneRandom): PlaceMm {
  const far = places.reduce((most, p) => Math.max(most, p.centre_mm[0] + p.size_mm[0]), card[0]);
  return [far + random.between(10, 60), random.between(0, card[1])];
}

function disturbances(scene: Scene, places: readonly Placed[], random: SceneRandom): Layer[] {
  const layers: Layer[] = [];
  if (random.chance(0.25)) layers.push(...fingers(scene.pipeline, random.pick(places), random));
  if (random.chance(0.25))
    for (const place of places) if (random.chance(0.5)) layers.push(tapeStrip(scene.pipeline, place, random));
  return layers;
}
