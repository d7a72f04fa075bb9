/** The pictures of a job's panels, cut out of its photos. */
import type { Job } from '../../../shared/schemas/job.ts';
import { plainLab } from '../correction/index.ts';
import type { LabEnsemble } from '../correction/types.ts';
import type { ReadPhoto } from '../measure/index.ts';
import { PANEL_MARGIN } from '../panel/sample-panel.ts';
import { quadArea } from '../photo/polygon.ts';
import type { QuadPx, Raster } from '../photo/types.ts';
import { type OutputSpaceName, type PanelCrop, type PanelCropRequest, panelCrop } from './crop/index.ts';

/** A photo of a job: its pixels, and what was read in it. */
export interface PicturedJobPhoto {
  readonly raster: Raster;
  readonly read: ReadPhoto;
}

export interface PictureOptions {
  /** Ids to picture; all panels and the target when left out. */
  readonly ids?: readonly string[] | undefined;
  /** Longest side. Default 1000. */
  readonly longest_px?: number | undefined;
  /** Width to height. Default 1. */
  readonly aspect?: number | undefined;
  readonly space?: OutputSpaceName | 'auto' | undefined;
}

/** A place that a panel has in a photo. */
interface Sighting {
  readonly photo: string;
  readonly corners_px: QuadPx;
}

/** In the sun flake shows best. */
const LIGHT_ORDER = ['sun', 'shade', 'shop', 'lamp', 'other'] as const;

/**
 * The picture of each thing that a photo shows square-on, by id (`target` too): from the photo with least glare on it, then
 * from the sunniest, then the largest. Each has the measured colour, of all photos together, as its mean.
 */
export function panelPictures(
  job: Job,
  photos: ReadonlyMap<string, PicturedJobPhoto>,
  colours: LabEnsemble,
  { ids, longest_px = 1000, aspect = 1, space = 'auto' }: PictureOptions = {},
): Map<string, PanelCrop> {
  const pictures = new Map<string, PanelCrop>();
  colours.ids.forEach((id, i) => {
    const best = ids && !ids.includes(id) ? undefined : bestSighting(job, photos, id);
    if (!best) return;
    const { raster, read } = photos.get(best.photo)!;
    pictures.set(
      id,
      panelCrop({
        raster,
        corners_px: best.corners_px,
        ...pixelCorrection(read),
        lab: colours.lab[i],
        white: colours.white,
        margin: PANEL_MARGIN,
        aspect,
        longest_px,
        space,
      }),
    );
  });
  return pictures;
}

/** The correction of one photo, for single pixels. */
function pixelCorrection({
  card: { correction, toMm },
}: ReadPhoto): Pick<PanelCropRequest, 'toMm' | 'labAt'> {
  const none = [0, 0, 0] as const;
  return {
    toMm,
    labAt: (linear, at_px) =>
      plainLab(
        correction,
        {
          linear,
          noise: none,
          clippedHigh: none,
          clippedLow: none,
          pixels: 1,
          glareFraction: 0,
          dustFraction: 0,
          centre_px: at_px,
        },
        toMm(at_px),
      ),
  };
}

function bestSighting(
  job: Job,
  photos: ReadonlyMap<string, PicturedJobPhoto>,
  id: string,
): Sighting | undefined {
  const ranked = job.photos.flatMap(({ id: photo, view, light }) => {
    const places = view === 'flop' ? [] : (photos.get(photo)?.read.places ?? []);
    return places.flatMap((place) => {
      if (place.id !== id || !place.sampled) return [];
      const { glareFraction, dustFraction } = place.sampled.sighted.reading;
      return [
        {
          photo,
          corners_px: place.corners_px,
          spoiled: Math.round(50 * (glareFraction + dustFraction)),
          light: LIGHT_ORDER.indexOf(light),
          area: quadArea(place.corners_px),
        },
      ];
    });
  });
  ranked.sort((a, b) => a.spoiled - b.spoiled || a.light - b.light || b.area - a.area);
  return ranked[0];
}
