/** The photo reduced for searching: what for stands in `src/core/card/find/level.ts`. */

/**
 * Writes a row of the level: per pixel the mean of green over `rowCount` rows of the photo, which stand one behind the other with
 * `stride` values each, and over as many columns, `step` apart. `encode` are 65536 bytes for wide values.
 */
export function reduceRow(
  rows: usize,
  rowCount: i32,
  stride: i32,
  isWide: bool,
  factor: i32,
  step: i32,
  width: i32,
  encode: usize,
  out: usize,
): void {
  const count = rowCount * rowCount;
  for (let x = 0; x < width; x++) {
    let sum: u32 = 0;
    for (let row = 0; row < rowCount; row++) {
      const first = row * stride + 3 * x * factor + 1;
      for (let column = 0; column < rowCount; column++) {
        const at = <usize>(first + 3 * column * step);
        sum += isWide ? load<u16>(rows + 2 * at) : load<u8>(rows + at);
      }
    }
    const mean = sum / count;
    store<u8>(out + x, isWide ? load<u8>(encode + mean) : <u8>mean);
  }
}
