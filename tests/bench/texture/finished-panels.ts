/** Panels of known finish photographed beside the card and read back from the camera's JPEG: lens, noise and tone curve included. */
import { photoFile, type RenderOptions, randomScene, renderScene } from '../../../samples/scene/index.ts';
import { OWN_CARD } from '../../../src/core/card/own.ts';
import { parseJob } from '../../../src/core/job/index.ts';
import { type PanelSurface, surfacesIn } from '../../../src/core/lights/surface.ts';
import { readPhoto as readJobPhoto } from '../../../src/core/measure/index.ts';
import type { QuadPx, Raster } from '../../../src/core/photo/types.ts';
import { readPhoto } from '../../../src/node/read-photo.ts';

export interface FinishedPanels {
  readonly seed: number;
  readonly px_per_mm: number;
  readonly panels: number;
  readonly finish: NonNullable<RenderOptions['finish']>;
  readonly light?: 'day' | 'lamp' | 'warm-led';
  /** Paints over the decoded photo before it is read. */
  readonly spoil?: (raster: Raster, panels: readonly QuadPx[]) => void;
}

/** What the photo says of every panel, in their order. */
export async function surfacesOf({
  seed,
  px_per_mm,
  panels,
  finish,
  light = 'day',
  spoil,
}: FinishedPanels): Promise<PanelSurface[]> {
  const scene = randomScene(seed, {
    family: 'judge',
    pixels: 'jpeg',
    card: OWN_CARD,
    cardTier: 'measured',
    panels,
    light,
  });
  const things = [...scene.layout.panels, scene.cardPlace];
  const [width_px, height_px] = [0, 1].map((k) => {
    const ends = things.flatMap((t) => [-0.5, 0.5].map((h) => t.centre_mm[k] + h * t.size_mm[k]));
    return Math.round((Math.max(...ends) - Math.min(...ends) + 20) * 1.03 * px_per_mm);
  });
  const photo = renderScene(scene, {
    width_px,
    height_px,
    glareChance: 0,
    margin: 0.03,
    pose: { tilt_deg: 3, tilt_towards_deg: 40, bow: 0.01 },
    finish,
  });
  const { raster } = await readPhoto(await photoFile(photo, { format: 'jpeg' }), 'bench.jpg');
  spoil?.(
    raster,
    photo.truth.panels.map((p) => p.corners_px),
  );
  const job = parseJob(
    {
      format: 'sprayout-job/1',
      photos: [{ id: 'f1', file: 'bench.jpg', light: light === 'warm-led' ? 'shop' : 'sun' }],
      panels: photo.truth.panels.map(({ id, corners_px }) => ({
        id,
        measured: [{ photo: 'f1', corners_px }],
      })),
    },
    'bench',
  );
  const read = readJobPhoto(job, job.photos[0], { raster, card: scene.card.definition });
  return surfacesIn(raster, job.photos[0], read);
}
