import type { Level } from './level.ts';

/** Side of the tiles whose darkest and brightest values set the threshold; three by three tiles count together. */
const TILE = 4;
/** Tiles with less contrast than this hold nothing to find. */
const LEAST_CONTRAST = 14;

/**
 * 1 where a level is darker than half way between the darkest and brightest value nearby, 0 where it is brighter or
 * where there is no contrast (the tile threshold of Wang and Olson 2016, III-A).
 */
export function darkPixels(level: Level): Uint8Array {
  const tiles = extremesOf(level);
  const dark = new Uint8Array(level.width * level.height);
  markDark(level, tiles, dark);
  return dark;
}

/** Darkest and brightest value of each tile. */
interface Extremes {
  readonly across: number;
  readonly down: number;
  readonly low: Uint8Array;
  readonly high: Uint8Array;
}

function extremesOf({ width, height, data }: Level): Extremes {
  const across = Math.ceil(width / TILE);
  const down = Math.ceil(height / TILE);
  const low = new Uint8Array(across * down);
  const high = new Uint8Array(across * down);
  for (let ty = 0; ty < down; ty++)
    for (let tx = 0; tx < across; tx++) {
      let least = 255;
      let most = 0;
      const right = Math.min(width, (tx + 1) * TILE);
      const bottom = Math.min(height, (ty + 1) * TILE);
      for (let y = ty * TILE; y < bottom; y++)
        for (let i = y * width + tx * TILE; i < y * width + right; i++) {
          const value = data[i];
          if (value < least) least = value;
          if (value > most) most = value;
        }
      low[ty * across + tx] = least;
      high[ty * across + tx] = most;
    }
  return { across, down, low, high };
}

function markDark({ width, height, data }: Level, tiles: Extremes, dark: Uint8Array): void {
  for (let ty = 0; ty < tiles.down; ty++)
    for (let tx = 0; tx < tiles.across; tx++) {
      const threshold = thresholdAround(tiles, tx, ty);
      if (threshold < 0) continue;
      const right = Math.min(width, (tx + 1) * TILE);
      const bottom = Math.min(height, (ty + 1) * TILE);
      for (let y = ty * TILE; y < bottom; y++)
        for (let i = y * width + tx * TILE; i < y * width + right; i++) if (data[i] < threshold) dark[i] = 1;
    }
}

/** Half way between the extremes of a tile and its eight neighbours; −1 without contrast. */
function thresholdAround({ low, high, across, down }: Extremes, tx: number, ty: number): number {
  let least = 255;
  let most = 0;
  for (let y = Math.max(0, ty - 1); y <= Math.min(down - 1, ty + 1); y++)
    for (let x = Math.max(0, tx - 1); x <= Math.min(across - 1, tx + 1); x++) {
      const i = y * across + x;
      if (low[i] < least) least = low[i];
      if (high[i] > most) most = high[i];
    }
  return most - least < LEAST_CONTRAST ? -1 : (most + least) / 2;
}
