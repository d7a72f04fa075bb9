/** From the network's maps to single panels, each a set of map pixels. */
import { type PartedMaps, partMaps } from './map-code.ts';
import { mapOf, PANEL_MAP, type PanelMaps } from './maps.ts';
import { type Fit, fitOf } from './shape.ts';

/** One panel's pixels in the maps. */
export interface Instance {
  /** Indices y · width + x. */
  readonly pixels: Int32Array;
  readonly fit: Fit;
  /** Mean probability that its pixels are a panel's. */
  readonly confidence: number;
}

/**
 * Levels of "panel and no edge" at which pixels hang together, and by how many pixels their sets are worn down: panels
 * fused at one level, or by a bridge across their edge, part at a later one.
 */
const LEVELS = [
  { least: 0.3, worn: 0 },
  { least: 0.5, worn: 0 },
  { least: 0.5, worn: 1 },
  { least: 0.65, worn: 2 },
  { least: 0.75, worn: 3 },
  { least: 0.8, worn: 4 },
] as const;
/** Fewest map pixels of a panel at its lowest level, before it is grown back. */
const FEWEST = 24;
/** Panels are drawn in by their edge's width; grown back by so many pixels at most. */
const GROWN_BACK = 7;
/** A component this much like a quadrilateral or an ellipse is not looked into for parts. */
const WELL_SHAPED = 0.93;
/** Parts must cover this share of the whole between them for the whole to be given up. */
const PARTS_SHARE = 0.55;
const SMALLEST_PART = 0.1;
/** Parts on both sides of an edge cover this share of the whole, and each is this well shaped. */
const THIN_LINE_SHARE = 0.72;
const SOUND_PART = 0.86;
const LEAST_CONFIDENCE = 0.6;

/** Parts the maps into panels. Pixels where `barred` is 1 (cards, known by their markers) belong to none. */
export function instancesOf(maps: PanelMaps, barred?: Uint8Array): Instance[] {
  const { width } = maps;
  const panel = mapOf(maps, PANEL_MAP);
  const held = partMaps(maps, barred);
  const [{ least, worn }] = LEVELS;
  const seeds = held
    .components(undefined, least, worn, FEWEST)
    .flatMap((pixels) => partsOf(held, width, pixels, 0));
  return held
    .grownBack(seeds, GROWN_BACK)
    .map((pixels) => ({ pixels, fit: fitOf(pixels, width), confidence: meanOver(panel, pixels) }))
    .filter(({ confidence }) => confidence >= LEAST_CONFIDENCE);
}

function meanOver(values: Float32Array, pixels: Int32Array): number {
  let sum = 0;
  for (let i = 0; i < pixels.length; i++) sum += values[pixels[i]];
  return sum / Math.max(1, pixels.length);
}

/** The component itself, or its parts at a higher level where they explain it better. */
function partsOf(held: PartedMaps, width: number, pixels: Int32Array, level: number): Int32Array[] {
  const whole = fitOf(pixels, width).goodness;
  for (let next = level + 1; next < LEVELS.length; next++) {
    const { least, worn } = LEVELS[next];
    const parts = held
      .components(pixels, least, worn, FEWEST)
      .filter((part) => part.length >= SMALLEST_PART * pixels.length);
    if (parts.length < 2) continue;
    const covered = parts.reduce((sum, part) => sum + part.length, 0) / pixels.length;
    const good = parts.map((part) => fitOf(part, width).goodness);
    const usual = parts.reduce((sum, part, i) => sum + part.length * good[i], 0) / (covered * pixels.length);
    // a thin line of edge between sound parts parts a whole that is itself well shaped: two panels side by side
    const isThinLine = covered >= THIN_LINE_SHARE && good.every((g) => g >= SOUND_PART);
    const explainsBetter = covered >= PARTS_SHARE && whole < WELL_SHAPED && usual > whole + 0.02;
    if (isThinLine || explainsBetter) return parts.flatMap((part) => partsOf(held, width, part, next));
  }
  return [pixels];
}
