/** A scene: everything that is true before a photo is taken. */
import type { CardDefinition } from '../../shared/schemas/card.ts';
import { ultravioletOf } from './brightener.ts';
import { cameraOf, makeCamera, type SceneCamera } from './cameras.ts';
import { type CardOptions, printCards, type SceneCard } from './card.ts';
import { type LightField, makeField } from './field.ts';
import { type Layout, layOut, type Placed } from './layout.ts';
import { type Family, LIGHT_KINDS, type LightKind, lightOf, makeLight, type SceneLight } from './lights.ts';
import { makePanels, type PanelChoice, type ScenePanel } from './panels.ts';
import { type FileSpace, makePipeline, type Pipeline, type PixelKind } from './pipeline.ts';
import { randomOf } from './random.ts';

export interface SceneOptions
  extends Pick<CardOptions, 'misprint' | 'instrument'>,
    Pick<PanelChoice, 'dyesAnywhere_nm'> {
  readonly family: Family;
  readonly pixels: PixelKind;
  readonly card: CardDefinition;
  readonly cardTier: 'measured' | 'nominal';
  /** Grey strips laid beyond the panels; none when left out. */
  readonly strips?: readonly CardDefinition[];
  /** A kind of light (any of the five when left out), or a power table of 71 values. */
  readonly light?: LightKind | readonly number[];
  /** Sensitivities of a given camera: three rows (red, green, blue) of 71 values; made up when left out. */
  readonly camera?: readonly (readonly number[])[];
  readonly space?: FileSpace;
  /** Number of panels, 10 when left out. */
  readonly panels?: number;
  readonly nearPairs?: boolean;
  readonly identicalPair?: boolean;
  /** Root-mean-square ΔE2000 that a nominal card is off; around 2 when left out. */
  readonly cardOff_de00?: number;
  /** How unevenly light falls: 1 a usual bench, 0 evenly. */
  readonly unevenness?: number;
  /** What brightener in the card's paper gives back under D50's ultraviolet, of a perfect white's light; none when left out. */
  readonly brightener?: number;
  /** A maker's taste that no tone curve explains, 0 (left out) none, 1 strong. */
  readonly preferred?: number;
}

export interface Scene {
  readonly seed: number;
  readonly light: SceneLight;
  readonly camera: SceneCamera;
  readonly card: SceneCard;
  readonly strips: readonly SceneCard[];
  readonly panels: readonly ScenePanel[];
  readonly layout: Layout;
  /** The card lies with its own mm as the plane's. */
  readonly cardPlace: Placed;
  readonly field: LightField;
  /** Stray light over the whole frame, as a share of the light from a perfect diffuser at the card's centre. */
  readonly flare: number;
  readonly pipeline: Pipeline;
}

/** A random scene. The same seed and options give the same scene everywhere. */
export function randomScene(seed: number, options: SceneOptions): Scene {
  return photographed(seed, '', options, options.light, seed);
}

/**
 * One set of panels and one card photographed twice or more by one camera, each time under another light: same panels
 * and print, own light field, white balance and exposure.
 */
export function randomSceneUnderLights(
  seed: number,
  options: SceneOptions,
  lights: readonly NonNullable<SceneOptions['light']>[],
): Scene[] {
  return lights.map((light, i) => photographed(seed, `/${i}`, options, light, seed));
}

function photographed(
  seed: number,
  photo: string,
  options: SceneOptions,
  wantedLight: SceneOptions['light'],
  makerSeed: number,
): Scene {
  // seeds of the two families never meet
  const own = seed * 2 + (options.family === 'judge' ? 1 : 0);
  const of = (purpose: string) => randomOf(own, purpose);
  const light = lightFor(wantedLight, options.family, of(`light${photo}`));
  const camera = options.camera
    ? cameraOf('given', options.camera)
    : makeCamera(options.family, of('camera'));
  const [card, ...strips] = printCards([options.card, ...(options.strips ?? [])], own, {
    tier: options.cardTier,
    ...(options.cardOff_de00 === undefined ? {} : { off_de00: options.cardOff_de00 }),
    ...(options.misprint ? { misprint: options.misprint } : {}),
    ...(options.instrument ? { instrument: options.instrument } : {}),
    ...(options.brightener
      ? {
          brightener: {
            amount: options.brightener,
            ultraviolet: ultravioletOf(light.kind, of(`ultraviolet${photo}`)),
          },
        }
      : {}),
  });
  const panels = makePanels(options.family, of('panels'), {
    count: options.panels ?? 10,
    nearPairs: options.nearPairs ?? true,
    identicalPair: options.identicalPair ?? false,
    ...(options.dyesAnywhere_nm === undefined ? {} : { dyesAnywhere_nm: options.dyesAnywhere_nm }),
  });
  const [w, h] = options.card.size_mm;
  const layout = layOut(
    [w, h],
    panels.length,
    strips.map((s) => s.definition.size_mm),
    of('layout'),
  );
  const pipeline = makePipeline(camera, light, options.family, of(`pipeline${photo}`), {
    pixels: options.pixels,
    space: options.space ?? 'srgb',
    makerSeed: makerSeed * 2 + (options.family === 'judge' ? 1 : 0),
    ...(options.preferred === undefined ? {} : { preferred: options.preferred }),
  });
  const field = makeField(light, options.family, of(`field${photo}`), {
    centre_mm: [w / 2, h / 2],
    strength: options.unevenness ?? 1,
  });
  const flare = 0.0022 * Math.exp(of(`flare${photo}`).normal(0, 0.6));
  const cardPlace: Placed = { centre_mm: [w / 2, h / 2], size_mm: [w, h], turn_deg: 0 };
  return { seed, light, camera, card, strips, panels, layout, cardPlace, field, flare, pipeline };
}

function lightFor(
  wanted: SceneOptions['light'],
  family: Family,
  random: ReturnType<typeof randomOf>,
): SceneLight {
  if (typeof wanted === 'object') return lightOf('day', wanted);
  const any = random.pick(LIGHT_KINDS);
  return makeLight(wanted ?? any, family, random);
}
