/** Photos of rendered scenes with their truth, and measured panels matched to it by place. */
import {
  type FileOptions,
  photoFile,
  type RenderedScene,
  type RenderOptions,
  randomScene,
  renderScene,
  type Scene,
  type SceneOptions,
} from '../../samples/scene/index.ts';
import type { PanelsFile } from '../../shared/schemas/panels.ts';
import type { CardDefinition } from '../../src/core/card/index.ts';
import { OWN_CARD, OWN_STRIPS } from '../../src/core/card/own.ts';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import type { MeasuredPanel, MeasuredPhoto } from '../../src/core/measure/index.ts';
import type { Raster } from '../../src/core/photo/index.ts';
import { quadArea, sharedArea } from '../../src/core/photo/polygon.ts';
import { readPhoto } from '../../src/node/read-photo.ts';

export interface TakenPhoto {
  readonly scene: Scene;
  readonly rendered: RenderedScene;
  readonly raster: Raster;
  /** The card as measured with an instrument (or as it ought to be printed). */
  readonly card: CardDefinition;
}

/** A scene of the family that nothing is tuned on, unless asked otherwise. */
export function benchScene(seed: number, options: Partial<SceneOptions> = {}): Scene {
  return randomScene(seed, {
    family: 'judge',
    pixels: 'jpeg',
    card: OWN_CARD,
    cardTier: 'measured',
    strips: OWN_STRIPS,
    panels: 6,
    ...options,
  });
}

/** Renders a scene, writes it as a file and reads that. */
export async function takePhoto(
  scene: Scene,
  render: Partial<RenderOptions> = {},
  file: Partial<FileOptions> = {},
): Promise<TakenPhoto> {
  const rendered = renderScene(scene, {
    width_px: 1400,
    height_px: 1050,
    background: 'grey',
    glareChance: 0,
    ...render,
  });
  return { scene, rendered, card: scene.card.definition, raster: await reread(rendered, file) };
}

/** The picture through a file. */
export async function reread(
  rendered: Parameters<typeof photoFile>[0],
  file: Partial<FileOptions> = {},
): Promise<Raster> {
  const format = rendered.data instanceof Uint16Array ? 'tiff' : 'jpeg';
  return (await readPhoto(await photoFile(rendered, { format, ...file }))).raster;
}

/** The panels where they truly are, in the photo's pixels. */
export function truePlaces({ rendered }: Pick<TakenPhoto, 'rendered'>): PanelsFile {
  return {
    format: 'sprayout-panels/1',
    panels: rendered.truth.panels.map(({ id, corners_px }) => ({
      id,
      corners_px: corners_px.map((p) => [...p]) as never,
    })),
  };
}

export interface MatchedPanel {
  /** Index among the true panels, and among the measured ones. */
  readonly at: number;
  readonly index: number;
  readonly truth: Lab;
  readonly measured: MeasuredPanel;
  readonly error: number;
}

/** True panels that were measured: the outlines share most of their area. */
export function matchPanels(
  { rendered }: Pick<TakenPhoto, 'rendered'>,
  measured: Pick<MeasuredPhoto, 'panels'>,
): MatchedPanel[] {
  return rendered.truth.panels.flatMap(({ corners_px, lab }, at) => {
    const index = measured.panels.findIndex(
      (p) =>
        sharedArea(p.corners_px, corners_px) > 0.8 * Math.max(quadArea(p.corners_px), quadArea(corners_px)),
    );
    if (index < 0) return [];
    const panel = measured.panels[index];
    return [{ at, index, truth: lab, measured: panel, error: deltaE2000(panel.lab, lab) }];
  });
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
