/** The demo's four photos: two of the bench in the sun, the same two under the shop's tubes. */
import type { CardDefinition } from '../../shared/schemas/card.ts';
import { makeCamera } from '../scene/cameras.ts';
import { printCards } from '../scene/card.ts';
import { makeField } from '../scene/field.ts';
import type { GlossSpot, Layer } from '../scene/geometry.ts';
import { onPlane, type Placed } from '../scene/layout.ts';
import { makeLight } from '../scene/lights.ts';
import { makePipeline, rawOf } from '../scene/pipeline.ts';
import type { Pose } from '../scene/pose.ts';
import { randomOf } from '../scene/random.ts';
import type { Scene } from '../scene/scene.ts';
import { spectrumOf } from '../scene/spectral.ts';
import { ENAMEL, scenePanels } from './kettle-lid.ts';
import { numberTape } from './number-tape.ts';

const SEED = 433;
const PANEL_MM = [54, 70] as const;
const GAP_MM = 13;
const ROW_Y_MM = 176;
const LID_CENTRE_MM = [243, 50] as const;
const LID_RADIUS_MM = 68;

export interface DemoPhoto {
  readonly id: string;
  readonly file: string;
  readonly light: 'sun' | 'shop';
  readonly panels: readonly string[];
  readonly pose: Partial<Pose>;
}

const FIRST = ['p1', 'p2', 'p3', 'p4', 'p5', 'p6'];
const SECOND = ['p7', 'p8', 'p9', 'p10', 'p11', 'p12'];

export const PHOTOS: readonly DemoPhoto[] = [
  {
    id: 'sun-1',
    file: 'sun-1.jpg',
    light: 'sun',
    panels: FIRST,
    pose: { tilt_deg: 7, tilt_towards_deg: 80, rotation_deg: -2, bow: 0.008 },
  },
  {
    id: 'sun-2',
    file: 'sun-2.jpg',
    light: 'sun',
    panels: SECOND,
    pose: { tilt_deg: 5, tilt_towards_deg: 120, rotation_deg: 1.5, bow: 0.008 },
  },
  {
    id: 'shop-1',
    file: 'shop-1.jpg',
    light: 'shop',
    panels: FIRST,
    pose: { tilt_deg: 9, tilt_towards_deg: 60, rotation_deg: 2.5, bow: 0.008 },
  },
  {
    id: 'shop-2',
    file: 'shop-2.jpg',
    light: 'shop',
    panels: SECOND,
    pose: { tilt_deg: 6, tilt_towards_deg: 100, rotation_deg: -1, bow: 0.008 },
  },
];

/** Flat part of the lid that is measured, on the card's plane: left of the knob, whose shadow falls to the right. */
export const LID_AREA: Placed = {
  centre_mm: [LID_CENTRE_MM[0] - 42, LID_CENTRE_MM[1] + 10],
  size_mm: [22, 28],
  turn_deg: 0,
};

export interface DemoScene {
  readonly scene: Scene;
  readonly props: readonly Layer[];
}

/** The bench of one photo. */
export function demoScene(
  photo: DemoPhoto,
  card: CardDefinition,
  strips: readonly CardDefinition[],
): DemoScene {
  const of = (purpose: string) => randomOf(SEED, purpose);
  const light = makeLight(photo.light === 'sun' ? 'day' : 'tri-phosphor', 'tune', of(photo.light));
  const camera = makeCamera('judge', of('phone camera'));
  const [sceneCard, ...sceneStrips] = printCards([card, ...strips], SEED, { tier: 'measured' });
  const panels = scenePanels(photo.panels);
  const jitter = of(`layout ${photo.id}`);
  const rowWidth = panels.length * (PANEL_MM[0] + GAP_MM) - GAP_MM;
  const left = 122 - rowWidth / 2 + PANEL_MM[0] / 2;
  const placed = panels.map(
    (_, i): Placed => ({
      centre_mm: [left + i * (PANEL_MM[0] + GAP_MM) + jitter.normal(0, 1), ROW_Y_MM + jitter.normal(0, 1.2)],
      size_mm: PANEL_MM,
      turn_deg: jitter.normal(0, 1.1),
    }),
  );
  const [width, height] = card.size_mm;
  const scene: Scene = {
    seed: SEED + PHOTOS.indexOf(photo),
    light,
    camera,
    card: sceneCard,
    strips: sceneStrips,
    panels,
    layout: {
      panels: placed,
      strips: sceneStrips.map((s, i) => stripPlace(s.definition.size_mm, i, jitter.normal(0, 0.8))),
    },
    cardPlace: { centre_mm: [width / 2, height / 2], size_mm: [width, height], turn_deg: 0 },
    field: makeField(light, 'tune', of(`field ${photo.id}`), {
      centre_mm: [width / 2, height / 2],
      strength: 0.9,
    }),
    flare: 0.0018,
    pipeline: makePipeline(camera, light, 'tune', of(`pipeline ${photo.light}`), {
      pixels: 'jpeg',
      space: 'srgb',
      makerSeed: SEED,
    }),
  };
  const tapes = placed.flatMap((p, i) =>
    numberTape(
      scene,
      photo.panels[i].slice(1),
      [p.centre_mm[0], p.centre_mm[1] + PANEL_MM[1] / 2 + 9],
      jitter,
    ),
  );
  const hole = rawOf(
    scene.pipeline,
    spectrumOf((nm) => 0.03 + 0.00006 * (nm - 380)),
  );
  const holes = placed.map(
    (p): Layer => ({
      place: { centre_mm: onPlane(p, [PANEL_MM[0] / 2, 5]), size_mm: [4.4, 4.4], turn_deg: 0 },
      shape: 'disc',
      raw: hole,
    }),
  );
  return { scene, props: [...holes, ...tapes, ...lid(scene)] };
}

/** One strip below the row of panels, one left of the card. */
function stripPlace(size_mm: readonly [number, number], index: number, turn: number): Placed {
  return index === 0
    ? { centre_mm: [122, ROW_Y_MM + PANEL_MM[1] / 2 + 30], size_mm, turn_deg: turn }
    : { centre_mm: [-46, 56], size_mm, turn_deg: 90 + turn };
}

function lid(scene: Scene): Layer[] {
  const disc = (radius: number, dx = 0, dy = 0): Placed => ({
    centre_mm: [LID_CENTRE_MM[0] + dx, LID_CENTRE_MM[1] + dy],
    size_mm: [2 * radius, 2 * radius],
    turn_deg: 0,
  });
  const enamel = rawOf(scene.pipeline, ENAMEL);
  const steel = rawOf(
    scene.pipeline,
    spectrumOf((nm) => 0.42 + 0.00008 * (nm - 560)),
  );
  const black = rawOf(
    scene.pipeline,
    spectrumOf(() => 0.025),
  );
  const R = LID_RADIUS_MM;
  const shine = (x: number, y: number, w: number, h: number, turn: number, strength: number): GlossSpot => ({
    at_mm: [x, y],
    radius_mm: [w, h],
    turn_deg: turn,
    strength,
  });
  return [
    { place: disc(R), shape: 'disc', raw: steel, height_mm: 5 },
    {
      place: disc(R - 1.6),
      shape: 'disc',
      raw: enamel,
      height_mm: 0.6,
      gloss: [shine(R - 34, R - 40, 13, 3.2, -46, 0.35), shine(R - 28, R - 30, 5, 1.6, -46, 0.1)],
      // under the knob
      shade: [shine(R + 4, R + 5, 17, 17, 0, 0.4)],
    },
    { place: disc(14.5), shape: 'disc', raw: steel, height_mm: 0.6 },
    {
      place: disc(13),
      shape: 'disc',
      raw: black,
      height_mm: 0.6,
      dome: 0.3,
      gloss: [shine(9, 8, 3.2, 1.6, -40, 0.55)],
    },
  ];
}
