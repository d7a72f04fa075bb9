/** What is drawn in a rendered photo: flat things on the plane, as layers painted one over the other. */
import family from '../../shared/tables/tag36h11.json' with { type: 'json' };
import type { SceneCard } from './card.ts';
import { onPlane, type Placed } from './layout.ts';
import { rawOf } from './pipeline.ts';
import type { Scene } from './scene.ts';
import type { Triple } from './spectral.ts';

type Point = readonly [number, number];

/** A filled rectangle or disc of one colour (balanced raw, 1 for the perfect diffuser). */
export interface Layer {
  readonly place: Placed;
  readonly shape: 'rectangle' | 'disc' | 'tag';
  readonly raw: Triple;
  /** Corner radius, mm. */
  readonly rounded_mm?: number;
  /** 8 × 8 cells, 1 where the cell is printed; for tags. */
  readonly cells?: Uint8Array;
  /** Metallic grain: scatter of the flakes' light from pixel to pixel at 6 px/mm, relative. */
  readonly grain?: number;
  /** Height of the thing over the bench, mm: throws a shadow on the bench and catches light at its edge. */
  readonly height_mm?: number;
  /** Mirrored lamp: light added over a soft spot in the thing's own mm. */
  readonly gloss?: readonly GlossSpot[];
  /** A gentle dome: brightness falls off outwards by this much at the rim. */
  readonly dome?: number;
}

export interface GlossSpot {
  readonly at_mm: Point;
  readonly radius_mm: Point;
  readonly turn_deg: number;
  /** Light at its middle, 1 for the perfect diffuser. */
  readonly strength: number;
}

/** A rectangle given in the mm of a thing that lies on the plane. */
export function within(thing: Placed, rect: readonly [number, number, number, number]): Placed {
  const [x, y, w, h] = rect;
  return {
    centre_mm: onPlane(thing, [x + w / 2, y + h / 2]),
    size_mm: [w, h],
    turn_deg: thing.turn_deg,
  };
}

/** Black cells of a 36h11 tag, row by row; 1 where black. */
export function tagCells(id: number): Uint8Array {
  const code = BigInt(family.codes[id]);
  return Uint8Array.from({ length: 64 }, (_, i) => {
    const [row, column] = [Math.floor(i / 8) - 1, (i % 8) - 1];
    if (row < 0 || column < 0 || row > 5 || column > 5) return 1;
    return (code >> BigInt(35 - (row * 6 + column))) & 1n ? 0 : 1;
  });
}

/** A printed sheet: paper, patches, tags, and what is printed on it for people. */
export function sheetLayers(scene: Scene, card: SceneCard, place: Placed): Layer[] {
  const { definition } = card;
  const paper = rawOf(scene.pipeline, card.paper);
  const black = rawOf(scene.pipeline, card.black);
  const layers: Layer[] = [{ place, shape: 'rectangle', raw: paper, height_mm: 0.3 }];
  definition.patches.forEach((patch, i) => {
    layers.push({
      place: within(place, patch.rect_mm),
      shape: 'rectangle',
      raw: rawOf(scene.pipeline, card.spectra[i]),
    });
  });
  for (const marker of definition.markers) {
    const [a, b] = marker.corners_mm;
    const side = Math.hypot(b[0] - a[0], b[1] - a[1]);
    layers.push({
      place: { ...within(place, [a[0], a[1], side, side]) },
      shape: 'tag',
      raw: black,
      cells: tagCells(marker.id),
    });
  }
  for (const rect of printedMarks(definition))
    layers.push({ place: within(place, rect), shape: 'rectangle', raw: black });
  return layers;
}

type Rect = readonly [number, number, number, number];

/** The mm rule, the writing lines and marks that look like small print, where the definition has room for them. */
function printedMarks(definition: SceneCard['definition']): Rect[] {
  const furniture = definition.furniture;
  if (!furniture) return [];
  const marks: Rect[] = [];
  if (furniture.rule) {
    const [x, y] = furniture.rule.from_mm;
    marks.push([x, y - 0.1, furniture.rule.length_mm, 0.2]);
    for (let mm = 0; mm <= furniture.rule.length_mm; mm++) {
      const long = mm % 10 === 0 ? 2 : mm % 5 === 0 ? 1.5 : 1;
      marks.push([x + mm - 0.06, y - long, 0.12, long]);
    }
  }
  for (const line of furniture.lines ?? []) {
    const [x, y] = line.from_mm;
    marks.push([x, y - 0.06, line.length_mm, 0.12], ...writing(x, y - 1.6, 1.2, line.label.length));
  }
  if (furniture.title) {
    const [x, y] = furniture.title.at_mm;
    marks.push(...writing(x, y, furniture.title.height_mm, definition.name.length));
  }
  return marks;
}

/** Small strokes in the rhythm of letters. */
function writing(x: number, y: number, height: number, letters: number): Rect[] {
  const stroke = height * 0.14;
  const advance = height * 0.72;
  return Array.from({ length: letters }, (_, i): Rect[] => {
    const left = x + i * advance;
    const kind = (i * 7 + letters) % 5;
    if (kind === 4) return [];
    const upright: Rect = [left, y, stroke, height];
    const bar: Rect = [left, y + (kind === 1 ? 0 : height / 2 - stroke / 2), advance * 0.6, stroke];
    const foot: Rect = [left, y + height - stroke, advance * 0.6, stroke];
    return kind === 0 ? [upright, foot] : kind === 1 ? [upright, bar, foot] : [upright, bar];
  }).flat();
}
