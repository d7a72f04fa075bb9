/** What panels' surfaces are like in one photo: texture on the card's millimetre scale, and how even they are. */
import type { JobPhoto } from '../../../shared/schemas/job.ts';
import type { ReadPhoto } from '../measure/index.ts';
import { type EvennessMap, FEWEST_PX_PER_MM, panelTexture, type Texture } from '../panel/texture/index.ts';
import type { Raster } from '../photo/types.ts';
import { panelEvenness } from './panel-evenness.ts';
import { lightCurve, photoTexture } from './photo-texture.ts';

/** One panel's surface in one photo. */
export interface PanelSurface {
  /** Id, or `target`. */
  readonly panel: string;
  readonly photo: string;
  /** Undefined where the photo is too coarse or the panel too small to tell. */
  readonly texture: Texture | undefined;
  /** Undefined where glare or dirt hides too much. */
  readonly evenness: EvennessMap | undefined;
  /** What to mind; empty when all is well. */
  readonly remarks: readonly string[];
}

/** Light that comes from one side makes flakes sparkle; light from all around shows their grain. */
const kindIn = (light: JobPhoto['light']): Texture['kind'] =>
  light === 'sun' || light === 'lamp' ? 'sparkle' : 'graininess';

/** The surface of every panel (and the target) that could be read in a photo of the job. */
export function surfacesIn(raster: Raster, photo: JobPhoto, read: ReadPhoto): PanelSurface[] {
  const places = read.places.filter((p) => p.sampled);
  if (places.length === 0) return [];
  const shown = photoTexture(raster, read);
  return places.map(({ id, corners_px, sampled }): PanelSurface => {
    const { reading, at_mm } = sampled!.sighted;
    const texture = panelTexture(raster, corners_px, read.card.toMm, kindIn(photo.light), {
      photo: shown,
      toLight: lightCurve(read, reading, at_mm),
    });
    const evenness = panelEvenness(raster, corners_px, read, sampled!.sighted);
    return {
      panel: id,
      photo: photo.id,
      texture,
      evenness,
      remarks: [
        ...(texture?.remarks ?? [
          `flakes are too fine for this photo: it has fewer than ${FEWEST_PX_PER_MM} pixels a millimetre here, or shows too little of the panel; come closer`,
        ]),
        ...(evenness ? [] : ['glare or dirt hides too much of the panel to say how even it is']),
      ],
    };
  });
}
