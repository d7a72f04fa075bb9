/** Codes of the tag family: what for stands in `src/core/card/find/codes.ts`. */

/** Cells along a side of the code, and of half of it. */
const CODE_CELLS: i32 = 6;
const HALF: i32 = 18;

/**
 * The code of a family (upper and lower 18 bits, i32 each) that is nearest to 36 cells (1 white, row by row), in any of the four turns.
 * Writes its id, the turns and how many bits differ to `out`, i32 each. The cells come back as they were.
 */
export function nearestCode(
  cells: usize,
  upper: usize,
  lower: usize,
  count: i32,
  out: usize,
  work: usize,
): void {
  let bestId = -1;
  let bestTurns = 0;
  let fewest = 37;
  memory.copy(work, cells, 36);
  for (let turns = 0; turns < 4; turns++) {
    let high = 0;
    let low = 0;
    for (let i = 0; i < HALF; i++) {
      high = (high << 1) | load<u8>(work + i);
      low = (low << 1) | load<u8>(work + HALF + i);
    }
    for (let id = 0; id < count; id++) {
      const wrong =
        popcnt(load<i32>(upper + 4 * <usize>id) ^ high) + popcnt(load<i32>(lower + 4 * <usize>id) ^ low);
      if (wrong < fewest) {
        fewest = wrong;
        bestId = id;
        bestTurns = turns;
      }
    }
    turnQuarter(work, work + 36);
    memory.copy(work, work + 36, 36);
  }
  store<i32>(out, bestId);
  store<i32>(out, bestTurns, 4);
  store<i32>(out, fewest, 8);
}

/** The cells as read with the next corner (clockwise) as top left. */
function turnQuarter(cells: usize, into: usize): void {
  for (let row = 0; row < CODE_CELLS; row++)
    for (let column = 0; column < CODE_CELLS; column++)
      store<u8>(
        into + row * CODE_CELLS + column,
        load<u8>(cells + column * CODE_CELLS + (CODE_CELLS - 1 - row)),
      );
}
