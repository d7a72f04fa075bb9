/** What goes into the panel finder's network and what comes out of it. */
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
