/** Dark pixels of a level: what for stands in `src/core/card/find/level.ts`. */

/** Side of the tiles whose darkest and brightest values set the threshold; three by three tiles count together. */
const TILE: i32 = 4;
/** Tiles with less contrast than this hold nothing to find. */
const LEAST_CONTRAST: i32 = 14;

/** Bytes that marking works with. */
export function thresholdBytes(width: i32, height: i32): i32 {
  return 2 * tiles(width) * tiles(height);
}

function tiles(pixels: i32): i32 {
  return (pixels + TILE - 1) / TILE;
}

/**
 * Marks with 1 what is darker than half way between the darkest and brightest value nearby, and with 0 what is brighter or where there
 * is no contrast (the tile threshold of Wang and Olson 2016, III-A). Hands back how many runs of dark pixels the rows have.
 */
export function markDark(level: usize, width: i32, height: i32, dark: usize, work: usize): i32 {
  const across = tiles(width);
  const down = tiles(height);
  const low = work;
  const high = work + across * down;
  findExtremes(level, width, height, low, high);
  let runs = 0;
  for (let ty = 0; ty < down; ty++) {
    const bottom = min(height, (ty + 1) * TILE);
    for (let tx = 0; tx < across; tx++) {
      const right = min(width, (tx + 1) * TILE);
      const threshold = doubleThreshold(low, high, across, down, tx, ty);
      for (let y = ty * TILE; y < bottom; y++)
        for (let i = y * width + tx * TILE; i < y * width + right; i++)
          store<u8>(dark + i, 2 * <i32>load<u8>(level + i) < threshold ? 1 : 0);
    }
    for (let y = ty * TILE; y < bottom; y++) runs += runsIn(dark + y * width, width);
  }
  return runs;
}

function findExtremes(level: usize, width: i32, height: i32, low: usize, high: usize): void {
  const across = tiles(width);
  const down = tiles(height);
  for (let ty = 0; ty < down; ty++)
    for (let tx = 0; tx < across; tx++) {
      let least: u8 = 255;
      let most: u8 = 0;
      const right = min(width, (tx + 1) * TILE);
      const bottom = min(height, (ty + 1) * TILE);
      for (let y = ty * TILE; y < bottom; y++)
        for (let i = y * width + tx * TILE; i < y * width + right; i++) {
          const value = load<u8>(level + i);
          least = min(least, value);
          most = max(most, value);
        }
      store<u8>(low + ty * across + tx, least);
      store<u8>(high + ty * across + tx, most);
    }
}

/** Sum of the extremes of a tile and its eight neighbours, twice the threshold; −1 without contrast. */
function doubleThreshold(low: usize, high: usize, across: i32, down: i32, tx: i32, ty: i32): i32 {
  let least: u8 = 255;
  let most: u8 = 0;
  for (let y = max(0, ty - 1); y <= min(down - 1, ty + 1); y++)
    for (let x = max(0, tx - 1); x <= min(across - 1, tx + 1); x++) {
      const i = y * across + x;
      least = min(least, load<u8>(low + i));
      most = max(most, load<u8>(high + i));
    }
  return <i32>most - <i32>least < LEAST_CONTRAST ? -1 : <i32>most + <i32>least;
}

function runsIn(row: usize, width: i32): i32 {
  let runs = 0;
  let before: u8 = 0;
  for (let x = 0; x < width; x++) {
    const here = load<u8>(row + x);
    if (here > before) runs++;
    before = here;
  }
  return runs;
}
