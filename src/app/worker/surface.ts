/** What panels' surfaces are like in one photo: texture, and how even they are. Loaded when first asked for. */
import type { JobPhoto } from '../../../shared/schemas/job.ts';
import { surfacesIn } from '../../core/lights/surface.ts';
import { againstWords, evennessWords, heldAgainst } from '../../core/lights/surface-words.ts';
import type { ReadPhoto } from '../../core/measure/index.ts';
import type { Raster } from '../../core/photo/types.ts';
import type { PhotoSurfaces } from './protocol.ts';

/** Every panel of a photo, its texture held against one of them. */
export function photoSurfaces(raster: Raster, photo: JobPhoto, read: ReadPhoto): PhotoSurfaces {
  const surfaces = surfacesIn(raster, photo, read);
  const held = heldAgainst(surfaces);
  return {
    heldAgainst: held?.panel,
    panels: surfaces.map((surface) => ({
      ...surface,
      evenness_words: surface.evenness && evennessWords(surface.evenness),
      against_words: againstWords(surface, held),
    })),
  };
}
