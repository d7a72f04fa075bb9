/** Reads a folder of photographs with charts: truth.json (chart corners a photo), charts/*.card.json and photos/. */
import { readFileSync } from 'node:fs';
import { parseCard } from '../../../src/core/card/definition.ts';
import { patchQuads, placeByCorners } from '../../../src/core/card/place.ts';
import type { CardDefinition, PlacedCard } from '../../../src/core/card/types.ts';
import type { QuadPx, Raster } from '../../../src/core/photo/types.ts';
import { readPhoto } from '../../../src/node/read-photo.ts';
import type { ChartPatch } from './trial.ts';

interface Truth {
  readonly photos: readonly {
    readonly file: string;
    readonly group: string;
    readonly card: string | null;
    readonly corners_px?: QuadPx;
  }[];
}

export interface ChartPhoto {
  readonly file: string;
  readonly group: string;
  readonly chart: string;
  readonly card: CardDefinition;
  readonly placed: PlacedCard;
  readonly corners_px: QuadPx;
  readonly raster: Raster;
  /** Middle of each patch in the photo, by id. */
  readonly quads: ReadonlyMap<string, QuadPx>;
}

export async function* chartPhotos(folder: string): AsyncGenerator<ChartPhoto> {
  const truth = JSON.parse(readFileSync(`${folder}/truth.json`, 'utf8')) as Truth;
  for (const { file, group, card: chart, corners_px } of truth.photos) {
    if (!chart || !corners_px) continue;
    const card = parseCard(JSON.parse(readFileSync(`${folder}/charts/${chart}.card.json`, 'utf8')), chart);
    const { raster } = await readPhoto(`${folder}/photos/${file}`);
    const placed = placeByCorners(card, corners_px, raster);
    const quads = patchQuads(placed);
    yield {
      file,
      group,
      chart,
      card,
      placed,
      corners_px,
      raster,
      quads: new Map(quads.map((q) => [q.id, q.corners_px])),
    };
  }
}

export function chartPatches(card: CardDefinition): ChartPatch[] {
  return card.patches.map((p) => ({
    id: p.id,
    role: p.role as ChartPatch['role'],
    lab: p.lab as ChartPatch['lab'],
  }));
}
