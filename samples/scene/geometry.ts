/** What is drawn in a rendered photo: flat things on the plane, as layers painted one over the other. */
import family from '../../shared/tables/tag36h11.json' with { type: 'json' };
import type { SceneCard } from './card.ts';
import { onPlane, type Placed } from './layout.ts';
import { strokesOf } from './lettering.ts';
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
  /** Metallic grain: scatter of the flakes' light from pixel to pixel, relative. */
  readonly grain?: number;
  /** Height of the thing over the bench, mm: throws a shadow on the bench and catches light at its edge. */
  readonly height_mm?: number;
  /** Mirrored lamp: light added over a soft spot in the thing's own mm. */
  readonly gloss?: readonly GlossSpot[];
  /** Soft shadows on the thing: the share of light they take at their middle is their strength. */
  readonly shade?: readonly GlossSpot[];
  /** Flakes in the film, each of its own brightness and place, the same at any resolution. */
  readonly flakes?: Flakes;
  /** Bands of more and less light across the thing, as overlapping passes leave them. */
  readonly stripes?: StripedFilm;
  /** A gentle dome: brightness falls off outwards by this much at the rim. */
  readonly dome?: number;
}

export interface Flakes {
  readonly size_mm: number;
  /** Share of the area that flakes cover, to about 1. */
  readonly cover: number;
  /** How much brighter than the film the brightest flakes are, relative to it. */
  readonly gleam: number;
  readonly seed: number;
}

export interface StripedFilm {
  readonly every_mm: number;
  /** Light from crest to trough, relative: .05 is 5 %. */
  readonly depth: number;
  /** Direction in which they follow each other, in the thing's own axes. */
  readonly along: 'x' | 'y';
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
  for (const mark of printedMarks(definition, place))
    layers.push({ place: mark, shape: 'rectangle', raw: black });
  return layers;
}

/** The mm rule, the writing lines and the lettering, where the definition has room for them. */
function printedMarks(definition: SceneCard['definition'], sheet: Placed): Placed[] {
  const furniture = definition.furniture;
  if (!furniture) return [];
  const marks: Placed[] = [];
  if (furniture.rule) {
    const [x, y] = furniture.rule.from_mm;
    marks.push(within(sheet, [x, y - 0.1, furniture.rule.length_mm, 0.2]));
    for (let mm = 0; mm <= furniture.rule.length_mm; mm++) {
      const long = mm % 10 === 0 ? 2 : mm % 5 === 0 ? 1.5 : 1;
      marks.push(within(sheet, [x + mm - 0.06, y - long, 0.12, long]));
    }
  }
  for (const line of furniture.lines) {
    const [x, y] = line.from_mm;
    marks.push(within(sheet, [x, y - 0.06, line.length_mm, 0.12]));
    marks.push(...lettering(sheet, line.label, [x, y - 2], 1.5));
  }
  if (furniture.title)
    marks.push(...lettering(sheet, definition.name, furniture.title.at_mm, furniture.title.height_mm));
  return marks;
}

/** A text on a sheet: capitals `height_mm` high, their top left at `at_mm`. */
export function lettering(
  sheet: Placed,
  text: string,
  at_mm: Point,
  height_mm: number,
  pen = 0.13,
): Placed[] {
  const unit = height_mm / 6;
  const toPlane = ([x, y]: Point): Point => onPlane(sheet, [at_mm[0] + unit * x, at_mm[1] + unit * y]);
  return strokesOf(text).map(([from, to]) => strokeBetween(toPlane(from), toPlane(to), pen * height_mm));
}

/** A pen stroke from one point of the plane to another. */
function strokeBetween(from: Point, to: Point, width: number): Placed {
  const dx = to[0] - from[0];
  const dy = to[1] - from[1];
  return {
    centre_mm: [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2],
    size_mm: [Math.hypot(dx, dy) + width, width],
    turn_deg: (Math.atan2(dy, dx) * 180) / Math.PI,
  };
}
