/** What a perfect sampler would read in a photo of a scene, without rendering one; and the truth beside it. */
import type { CardDefinition } from '../../shared/schemas/card.ts';
import type { SceneCard } from './card.ts';
import { onPlane, type Placed } from './layout.ts';
import { apply, inverse, type Matrix3, product } from './matrix.ts';
import { adaptation, fromXyz, rawOf, rendered, srgbDecode, srgbEncode } from './pipeline.ts';
import { randomOf, type SceneRandom } from './random.ts';
import type { Scene } from './scene.ts';
import { D50_WHITE, labD50, labOf, type Spectrum71, type Triple, whiteOf, xyzUnder } from './spectral.ts';

type Point = readonly [number, number];

/** Colour of one area before any correction. */
export interface AreaReading {
  /** Mean linear value per channel in the file's own primaries, 0–1. */
  readonly linear: Triple;
  /** Standard error of that mean. */
  readonly noise: Triple;
  readonly clippedHigh: Triple;
  readonly clippedLow: Triple;
  readonly pixels: number;
  readonly glareFraction: number;
  readonly dustFraction: number;
  readonly centre_px: Point;
  /** Mean encoded value per channel, 0–1. */
  readonly encoded: Triple;
}

export interface ScenePatchReading {
  readonly patch: CardDefinition['patches'][number];
  readonly reading: AreaReading;
  readonly at_mm: Point;
  /** 0 for the card, then one number for every strip. */
  readonly sheet: number;
}

export interface ScenePanelReading {
  readonly id: string;
  readonly reading: AreaReading;
  readonly at_mm: Point;
}

/** What is true of a surface in the scene. */
export interface SurfaceTruth {
  readonly id: string;
  readonly spectrum: Spectrum71;
  /** D50, 2° observer. */
  readonly lab: Triple;
  /** Under the scene's own light, relative to that light's white. */
  readonly lab_as_seen: Triple;
  /** The same adapted to D50 by the linear Bradford transform, relative to D50. */
  readonly lab_as_seen_adapted: Triple;
  readonly xyz_in_light: Triple;
}

export interface SceneReadings {
  readonly card: CardDefinition;
  readonly strips: readonly CardDefinition[];
  /** The file's pixels: linear or not, primaries, and those to linear sRGB. */
  readonly profile: { readonly name: string; readonly isLinear: boolean; readonly toLinearSrgb: Matrix3 };
  readonly bits: 8 | 16;
  /** Patches of the card, then of the strips. */
  readonly patches: readonly ScenePatchReading[];
  readonly panels: readonly ScenePanelReading[];
  readonly truth: {
    readonly light: {
      readonly kind: string;
      readonly cct_k: number;
      readonly duv: number;
      readonly white_xyz: Triple;
    };
    readonly patches: readonly SurfaceTruth[];
    readonly panels: readonly (SurfaceTruth & { readonly kind: string; readonly tint?: number })[];
    readonly cardOff_de00: number;
  };
}

/** Reads every patch and panel of a scene as the best sampler could: mean over its pixels, quantised, a little noise left. */
export function sceneReadings(scene: Scene): SceneReadings {
  const random = randomOf(
    scene.seed * 2 + 1,
    `readings/${scene.pipeline.pixels}/${scene.light.cct_k.toFixed(1)}`,
  );
  const pixelNoise = random.between(0.003, 0.01);
  const cards: readonly (readonly [SceneCard, Placed])[] = [
    [scene.card, scene.cardPlace],
    ...scene.strips.map((s, i) => [s, scene.layout.strips[i]] as const),
  ];
  const patches = cards.flatMap(([card, place], sheet) =>
    card.definition.patches.map((patch, i): ScenePatchReading => {
      const [x, y, w, h] = patch.rect_mm;
      const at_mm = onPlane(place, [x + w / 2, y + h / 2]);
      return { patch, at_mm, sheet, reading: readAt(scene, card.spectra[i], at_mm, 0, pixelNoise, random) };
    }),
  );
  const panels = scene.panels.map((panel, i): ScenePanelReading => {
    const at_mm = scene.layout.panels[i].centre_mm;
    const glare = panel.clear ? random.exponential(0.0003) : random.exponential(0.0002);
    return { id: panel.id, at_mm, reading: readAt(scene, panel.spectrum, at_mm, glare, pixelNoise, random) };
  });
  return {
    card: scene.card.definition,
    strips: scene.strips.map((s) => s.definition),
    profile: profileOf(scene),
    bits: scene.pipeline.pixels === 'linear' ? 16 : 8,
    patches,
    panels,
    truth: {
      light: {
        kind: scene.light.kind,
        cct_k: scene.light.cct_k,
        duv: scene.light.duv,
        white_xyz: whiteOf(scene.light.power),
      },
      patches: cards.flatMap(([card]) =>
        card.definition.patches.map((p, i) => truthOf(scene, p.id, card.spectra[i])),
      ),
      panels: scene.panels.map((p) => ({
        ...truthOf(scene, p.id, p.spectrum),
        kind: p.kind,
        ...(p.tint === undefined ? {} : { tint: p.tint }),
      })),
      cardOff_de00: scene.card.off_de00,
    },
  };
}

export function profileOf(scene: Scene): SceneReadings['profile'] {
  const { pixels, space } = scene.pipeline;
  const identity: Matrix3 = [1, 0, 0, 0, 1, 0, 0, 0, 1];
  if (pixels === 'linear') return { name: 'linear', isLinear: true, toLinearSrgb: identity };
  if (space === 'srgb') return { name: 'sRGB', isLinear: false, toLinearSrgb: identity };
  const toLinearSrgb = product(fromXyz('srgb'), inverse(fromXyz('p3')));
  return { name: 'Display P3', isLinear: false, toLinearSrgb };
}

function truthOf(scene: Scene, id: string, spectrum: Spectrum71): SurfaceTruth {
  const power = scene.light.power;
  const white = whiteOf(power);
  const xyz = xyzUnder(power, spectrum);
  return {
    id,
    spectrum,
    lab: labD50(spectrum),
    lab_as_seen: labOf(xyz, white),
    lab_as_seen_adapted: labOf(apply(adaptation(white, D50_WHITE), xyz), D50_WHITE),
    xyz_in_light: xyz,
  };
}

/** One area at a place: `glare` is light the surface mirrors into the camera after the sampler has left out what it can see. */
function readAt(
  scene: Scene,
  spectrum: Spectrum71,
  at_mm: Point,
  glare: number,
  pixelNoise: number,
  random: SceneRandom,
): AreaReading {
  const { pipeline } = scene;
  const raw = rawOf(pipeline, spectrum);
  const field = scene.field(at_mm[0], at_mm[1]);
  const shared = random.normal(0, 0.0015);
  const seen = raw.map((v, c) => {
    const rel = shared + random.normal(0, 0.001);
    return (v + glare) * field[c] * (1 + rel) + scene.flare + random.normal(0, 0.0001);
  });
  const light = rendered(pipeline, [seen[0], seen[1], seen[2]]);
  const isLinear = pipeline.pixels === 'linear';
  const rounding = isLinear ? [0, 0, 0] : chromaRounding(random);
  const channels = light.map((v, c) => averaged(v, isLinear, pixelNoise, rounding[c]));
  const triple = (pick: (a: Averaged) => number): Triple => [
    pick(channels[0]),
    pick(channels[1]),
    pick(channels[2]),
  ];
  const pixels = 2500;
  return {
    linear: triple((a) => a.linear),
    encoded: triple((a) => a.encoded),
    noise: triple((a) => a.spread / Math.sqrt(pixels)),
    clippedHigh: triple((a) => a.high),
    clippedLow: triple((a) => a.low),
    pixels,
    glareFraction: 0,
    dustFraction: 0,
    // six pixels to the millimetre, the card's top left at 2000, 1500
    centre_px: [2000 + 6 * at_mm[0], 1500 + 6 * at_mm[1]],
  };
}

interface Averaged {
  readonly linear: number;
  readonly encoded: number;
  readonly spread: number;
  readonly high: number;
  readonly low: number;
}

/**
 * A JPEG keeps the mean of an even area in steps: at the usual qualities of 90–96 about a fifth of a code in Cb and Cr
 * and a tenth in Y (ITU-T T.81 quantises the mean of a block; T.871 turns it into R, G and B), however many pixels there are.
 */
function chromaRounding(random: SceneRandom): readonly number[] {
  const [y, cb, cr] = [0.1, 0.2, 0.2].map((most) => random.between(-most, most) / 255);
  return [y + 1.402 * cr, y - 0.344136 * cb - 0.714136 * cr, y + 1.772 * cb];
}

const PIXELS = 61;

/** Mean over pixels that scatter about a linear value: evenly over ±√3 standard deviations, quantised as in the file. */
function averaged(value: number, isLinear: boolean, sdEncoded: number, offset: number): Averaged {
  const levels = isLinear ? 65535 : 255;
  const centre = isLinear ? value : srgbEncode(value) + offset;
  const sd = isLinear ? Math.max(0.0005, sdEncoded * Math.sqrt(Math.max(0, value))) : sdEncoded;
  let linear = 0;
  let square = 0;
  let encoded = 0;
  let high = 0;
  let low = 0;
  for (let k = 0; k < PIXELS; k++) {
    const scatter = ((k + 0.5) / PIXELS - 0.5) * Math.sqrt(12) * sd;
    const code = Math.round(Math.min(1, Math.max(0, centre + scatter)) * levels);
    const v = code / levels;
    const l = isLinear ? v : srgbDecode(v);
    linear += l / PIXELS;
    square += (l * l) / PIXELS;
    encoded += v / PIXELS;
    if (v >= 254 / 255) high += 1 / PIXELS;
    if (isLinear ? code === 0 : code <= 1) low += 1 / PIXELS;
  }
  return { linear, encoded, spread: Math.sqrt(Math.max(0, square - linear * linear)), high, low };
}
