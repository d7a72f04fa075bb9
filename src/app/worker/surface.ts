/** What a panel's surface is like in one photo: its texture, and how even it is. Loaded when first asked for. */
import type { JobPhoto } from '../../../shared/schemas/job.ts';
import { plainLab } from '../../core/correction/index.ts';
import { SprayoutError } from '../../core/errors.ts';
import type { ReadPhoto } from '../../core/measure/index.ts';
import { evennessMap, FEWEST_PX_PER_MM, panelTexture } from '../../core/panel/texture/index.ts';
import { sampleQuadInCells } from '../../core/photo/sample.ts';
import type { QuadPx, Raster } from '../../core/photo/types.ts';
import type { PanelSurface } from './protocol.ts';

/** Cells along each side of the map, about how many pixels are read for all, and the rim left out. */
const CELLS = 10;
const CELL_PIXELS = 40_000;
const MARGIN = 0.05;

/** Light that comes from one side makes flakes sparkle; light from all around shows their grain. */
const kindIn = (light: JobPhoto['light']): 'sparkle' | 'graininess' =>
  light === 'sun' || light === 'lamp' ? 'sparkle' : 'graininess';

/** Throws `panel-unreadable` when the panel has no place in the photo that could be read. */
export function panelSurface(
  raster: Raster,
  photo: JobPhoto,
  read: ReadPhoto,
  panelId: string,
): PanelSurface {
  const place = read.places.find((p) => p.id === panelId);
  if (!place)
    throw new SprayoutError(
      'panel-unreadable',
      'The panel has no outline in this photo.',
      'Outline it in the photo, or choose a photo that shows it.',
    );
  if (place.refused) throw place.refused;
  const texture = panelTexture(raster, place.corners_px, read.card.toMm, kindIn(photo.light));
  return {
    texture,
    evenness: evennessIn(raster, place.corners_px, read),
    remarks: texture
      ? texture.remarks
      : [
          `texture is not told: the photo has fewer than ${FEWEST_PX_PER_MM} pixels a millimetre here, or too little of the panel`,
        ],
  };
}

/** Undefined where glare or dirt hides a cell: a map with holes would tell stripes that are none. */
function evennessIn(raster: Raster, corners_px: QuadPx, { card }: ReadPhoto): PanelSurface['evenness'] {
  const { cells } = sampleQuadInCells(raster, corners_px, {
    cells: CELLS,
    maxPixels: CELL_PIXELS,
    margin: MARGIN,
  });
  if (cells.length !== CELLS * CELLS) return undefined;
  const labs = cells.map((cell) => plainLab(card.correction, cell, card.toMm(cell.centre_px)));
  return evennessMap(labs, CELLS, CELLS);
}
