/** What panels' surfaces are like in one photo: texture, and how even they are. Loaded when first asked for. */
import type { JobPhoto } from '../../../shared/schemas/job.ts';
import { TARGET_ID } from '../../core/job/index.ts';
import { type PanelSurface, surfacesIn } from '../../core/lights/surface.ts';
import {
  evennessWords,
  textureAgainst,
  texturePairs,
  textureWords,
} from '../../core/lights/surface-words.ts';
import type { ReadPhoto } from '../../core/measure/index.ts';
import type { Raster } from '../../core/photo/types.ts';
import type { PhotoSurfaces } from './protocol.ts';

/** Every panel of a photo, its texture held against the target's, or against the strongest where that shows none. */
export function photoSurfaces(raster: Raster, photo: JobPhoto, read: ReadPhoto): PhotoSurfaces {
  const surfaces = surfacesIn(raster, photo, read);
  const pairs = texturePairs(surfaces);
  const told = surfaces.filter((s) => s.texture);
  const figureOf = (s: PanelSurface): number => s.texture?.figure ?? 0;
  const strongest = [...told].sort((a, b) => figureOf(b) - figureOf(a))[0];
  const held = told.find((s) => s.panel === TARGET_ID) ?? strongest;
  return {
    heldAgainst: held?.panel,
    panels: surfaces.map((surface) => ({
      ...surface,
      evenness_words: surface.evenness && evennessWords(surface.evenness),
      texture_words: surface.texture && textureWords(surface.texture),
      against_words:
        held && held !== surface ? textureAgainst(pairs, photo.id, surface.panel, held.panel) : undefined,
    })),
  };
}
