/**
 * The demo's bench: a kettle-maker's customer has brought an enamel lid, and the painter sprays garnet and amber candy
 * over three metallic grounds to come close to it. All of it invented; spectra stand behind every colour.
 */
import { absorbanceOf, type Dye, type Ground, makeGround } from '../scene/dyes.ts';
import {
  type CandyRecipe,
  candyReflectance,
  type FilmHabit,
  hidingLayer,
  type Surface,
  throughSurface,
} from '../scene/paint.ts';
import type { ScenePanel } from '../scene/panels.ts';
import { bendTo } from '../scene/print.ts';
import { randomOf } from '../scene/random.ts';
import { edge, labD50, type Spectrum71, skewBell, spectrumOf, type Triple } from '../scene/spectral.ts';

const SEED = 20;

export const TINTS: readonly { readonly id: string; readonly name: string; readonly dye: Dye }[] = [
  {
    id: 'garnet',
    name: 'Garnet candy',
    dye: dye('garnet', 0.4, [
      [528, 44, 34, 1],
      [428, 48, 46, 0.66],
      [598, 24, 34, 0.1],
    ]),
  },
  {
    id: 'amber',
    name: 'Amber candy',
    dye: dye('amber', 0.3, [
      [442, 48, 36, 1],
      [385, 40, 40, 0.8],
      [508, 26, 30, 0.18],
    ]),
  },
];

export const GROUNDS: readonly { readonly id: string; readonly name: string; readonly ground: Ground }[] = [
  { id: 'silver', name: 'Bright silver', ground: makeGround('bright silver', randomOf(SEED, 'silver')) },
  { id: 'gold', name: 'Pale gold', ground: makeGround('pale gold', randomOf(SEED, 'gold')) },
  { id: 'graphite', name: 'Graphite', ground: makeGround('graphite', randomOf(SEED, 'graphite')) },
];

export interface DemoPanel {
  readonly id: string;
  readonly name: string;
  readonly ground: string;
  /** Parts of garnet and amber; none for a bare ground. */
  readonly parts: readonly [garnet: number, amber: number];
  readonly coats: number;
}

export const CARRIER = 5;
export const REDUCER_PCT = 5;

/** In the order in which they were sprayed and numbered. */
export const PANELS: readonly DemoPanel[] = [
  { id: 'p1', name: 'Bright silver, bare', ground: 'silver', parts: [0, 0], coats: 0 },
  { id: 'p2', name: 'Pale gold, bare', ground: 'gold', parts: [0, 0], coats: 0 },
  { id: 'p3', name: 'Graphite, bare', ground: 'graphite', parts: [0, 0], coats: 0 },
  { id: 'p4', name: '5:1, two coats on silver', ground: 'silver', parts: [5, 1], coats: 2 },
  { id: 'p5', name: '5:1, three coats on silver', ground: 'silver', parts: [5, 1], coats: 3 },
  { id: 'p6', name: '5:1, four coats on silver', ground: 'silver', parts: [5, 1], coats: 4 },
  { id: 'p7', name: '5:1, three coats on gold', ground: 'gold', parts: [5, 1], coats: 3 },
  { id: 'p8', name: '5:1, three coats on graphite', ground: 'graphite', parts: [5, 1], coats: 3 },
  { id: 'p9', name: '3:1, three coats on gold', ground: 'gold', parts: [3, 1], coats: 3 },
  { id: 'p10', name: 'Garnet alone, two coats on silver', ground: 'silver', parts: [1, 0], coats: 2 },
  { id: 'p11', name: 'Amber alone, three coats on silver', ground: 'silver', parts: [0, 1], coats: 3 },
  { id: 'p12', name: '2:1, two coats on gold', ground: 'gold', parts: [2, 1], coats: 2 },
];

const HABIT: FilmHabit = {
  usualCarrier: CARRIER,
  coatPower: 0.97,
  floorShare: 0.009,
  floorPath: 0.15,
  paths: [
    [1, 0.4],
    [1.07, 0.45],
    [1.24, 0.15],
  ],
};

const GLOSSY: Surface = { first: 0.006, internal: 0.5 };

function dye(name: string, strength: number, bands: Parameters<typeof absorbanceOf>[0]): Dye {
  return { name, absorbance: absorbanceOf(bands, 0.012).map((a) => strength * a) };
}

/** How a panel differs from what was sprayed on the bench. */
export interface Sprayed {
  readonly carrier?: number;
  /** Film against an even hand's. */
  readonly hand?: number;
}

/** A panel's recipe as truly sprayed: the gun hand differs a little from panel to panel. */
function recipeOf(panel: DemoPanel, sprayed: Sprayed = {}): CandyRecipe {
  const hand = sprayed.hand ?? Math.exp(randomOf(SEED, `hand ${panel.id}`).normal(0, 0.05));
  return {
    parts: TINTS.map((t, i) => [t.dye, panel.parts[i]] as const),
    ground: GROUNDS.find((g) => g.id === panel.ground)!.ground,
    coats: panel.coats,
    carrier: sprayed.carrier ?? CARRIER,
    reducer_pct: REDUCER_PCT,
    clear: true,
    hand,
  };
}

export function spectrumOfPanel(panel: DemoPanel, sprayed: Sprayed = {}): Spectrum71 {
  return candyReflectance(recipeOf(panel, sprayed), HABIT, GLOSSY);
}

export function scenePanels(ids: readonly string[]): ScenePanel[] {
  return ids.map((id) => {
    const panel = PANELS.find((p) => p.id === id)!;
    const spectrum = spectrumOfPanel(panel);
    return {
      id,
      kind: panel.coats > 0 ? 'candy' : 'ground',
      spectrum,
      lab: labD50(spectrum),
      recipe: recipeOf(panel),
      clear: true,
    };
  });
}

/** The lid's enamel: a warm deep red of pigments in clear glass, with nothing of the candies in it. */
export const ENAMEL: Spectrum71 = enamel([39.2, 42, 37.2]);
export const ENAMEL_LAB: Triple = labD50(ENAMEL);

function enamel(lab: Triple): Spectrum71 {
  const pigment = spectrumOf((nm) => {
    const ks =
      0.03 +
      2.5 * (1 - edge(nm, 583, 12)) +
      0.19 * skewBell(nm, 530, 50, 60) +
      0.07 * skewBell(nm, 860, 140, 100);
    return 0.008 + 0.96 * throughSurface(hidingLayer(ks), 0, 0.5);
  });
  const bend = bendTo(pigment, lab);
  return pigment.map((v, i) => v * Math.exp(bend[i]));
}
