/** What goes into the panel finder's network and what comes out of it. */
import type { Raster } from '../../photo/types.ts';
import { readPicture } from './map-code.ts';

/** A small copy of a photo for the network: three planes of sRGB-encoded values 0–1, sides multiples of 32. */
export interface FinderPicture {
  readonly width: number;
  readonly height: number;
  readonly planes: Float32Array;
}

/**
 * The network's five maps of a photo, probabilities 0–1, one plane after another: panel (also where something lies on
 * it), a panel's edge, glare on a panel, something that is not the panel's surface, card.
 */
export interface PanelMaps {
  readonly width: number;
  readonly height: number;
  readonly planes: Float32Array;
}

/** Runs the network: a picture in, its maps out. */
export type Segment = (picture: FinderPicture) => Promise<PanelMaps>;

export const MAP_COUNT = 5;
export const PANEL_MAP = 0;
export const EDGE_MAP = 1;
export const GLARE_MAP = 2;
export const OBJECT_MAP = 3;
export const CARD_MAP = 4;

/** Where an object lies this surely, the other maps tell nothing of the panel. */
export const COVERED = 0.35;

/** Index of the map pixel at a place; −1 outside the maps. */
export function pixelAt({ width, height }: PanelMaps, x: number, y: number): number {
  return x < 0 || y < 0 || x >= width || y >= height ? -1 : Math.floor(y) * width + Math.floor(x);
}

/** One of the maps. */
export function mapOf(maps: PanelMaps, which: number): Float32Array {
  const size = maps.width * maps.height;
  return maps.planes.subarray(which * size, (which + 1) * size);
}

/** Pixels of the network's picture: what it was trained on, 512 × 384. */
const PIXELS = 512 * 384;
const MULTIPLE = 32;
/** Photo pixels read along each axis of one of the picture. */
const READ_ALONG = 4;

/** A small copy for the network: means of linear light, encoded anew. */
export function pictureForFinder(raster: Raster): FinderPicture {
  const { width_px, height_px } = raster;
  const scale = Math.sqrt(PIXELS / (width_px * height_px));
  const side = (px: number): number => Math.max(2, Math.round((px * scale) / MULTIPLE)) * MULTIPLE;
  const [width, height] = [side(width_px), side(height_px)];
  const planes = readPicture(raster, {
    width,
    height,
    perPixel: READ_ALONG,
    columns: readingPlaces(width, width_px, 3),
    rows: readingPlaces(height, height_px, 1),
    encode: encodingTable(),
  });
  return { width, height, planes };
}

/** Photo rows or columns read for each of the picture's, times `step`. */
function readingPlaces(count: number, of: number, step: number): Int32Array {
  const wide = of / count;
  return Int32Array.from({ length: count * READ_ALONG }, (_, i) => {
    const at = ((i + 0.5) / READ_ALONG) * wide;
    return step * Math.min(of - 1, Math.floor(at));
  });
}

let table: Float32Array | undefined;
/** sRGB encoding (IEC 61966-2-1) of linear 0–1 in 8192 steps. */
function encodingTable(): Float32Array {
  table ??= Float32Array.from({ length: 8193 }, (_, i) => {
    const linear = i / 8192;
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
  });
  return table;
}
