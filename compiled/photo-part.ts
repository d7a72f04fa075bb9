/** A photo of which a part is at hand: light of its pixels. */

/** RGB of the part, row by row, in its own bytes a value. */
let pixels: usize = 0;
let isWide: bool = false;
/** Three curves to linear light, one behind the other, f32. */
let curves: usize = 0;
let levels: usize = 0;
// the part: its first column and row, and its size
let left: i32 = 0;
let top: i32 = 0;
let width: i32 = 0;
let height: i32 = 0;
/** Whether something of the photo outside the part was asked for. */
let hasMissed: bool = false;

/** Size of the photo. */
export let photoWidth: i32 = 0;
export let photoHeight: i32 = 0;

export function usePhoto(
  pixelsAt: usize,
  wide: bool,
  curvesAt: usize,
  levelCount: i32,
  partLeft: i32,
  partTop: i32,
  partWidth: i32,
  partHeight: i32,
  wholeWidth: i32,
  wholeHeight: i32,
): void {
  pixels = pixelsAt;
  isWide = wide;
  curves = curvesAt;
  levels = levelCount;
  left = partLeft;
  top = partTop;
  width = partWidth;
  height = partHeight;
  photoWidth = wholeWidth;
  photoHeight = wholeHeight;
  hasMissed = false;
}

/** Whether more of the photo was needed since it was set. */
export function missed(): bool {
  return hasMissed;
}

/** Where a pixel of the photo is in the part; −1, and missed, where it is not. */
export function placeOf(column: i32, row: i32): i32 {
  const x = column - left;
  const y = row - top;
  if (x >= 0 && y >= 0 && x < width && y < height) return y * width + x;
  hasMissed = true;
  return -1;
}

/** Linear light of a channel at a place in the part, 0–1. */
export function linear(channel: usize, place: i32): f64 {
  const i = <usize>(3 * place) + channel;
  const encoded: usize = isWide ? load<u16>(pixels + 2 * i) : load<u8>(pixels + i);
  return <f64>load<f32>(curves + 4 * (channel * levels + encoded));
}
