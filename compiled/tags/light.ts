/** Light of a photo of which a part is at hand. */

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
// the photo's last column and row
let lastX: i32 = 0;
let lastY: i32 = 0;
/** Whether something outside the part was asked for. */
let hasMissed: bool = false;

export function useLight(
  pixelsAt: usize,
  wide: bool,
  curvesAt: usize,
  levelCount: i32,
  partLeft: i32,
  partTop: i32,
  partWidth: i32,
  partHeight: i32,
  photoLastX: i32,
  photoLastY: i32,
): void {
  pixels = pixelsAt;
  isWide = wide;
  curves = curvesAt;
  levels = levelCount;
  left = partLeft;
  top = partTop;
  width = partWidth;
  height = partHeight;
  lastX = photoLastX;
  lastY = photoLastY;
  hasMissed = false;
}

/** Whether more of the photo was needed since the light was set. */
export function missed(): bool {
  return hasMissed;
}

/**
 * Linear light at a place in the photo, 0–1: (R + 2 G + B) / 4, bilinear between pixel centres; beyond its border the border pixels go
 * on.
 */
export function lightAt(x: f64, y: f64): f64 {
  const px = min(<f64>lastX, max(0, x - 0.5));
  const py = min(<f64>lastY, max(0, y - 0.5));
  if (!(px >= 0 && py >= 0)) return NaN;
  const x0 = floor(px);
  const y0 = floor(py);
  const column = <i32>x0 - left;
  const row = <i32>y0 - top;
  const right = <i32>x0 < lastX ? 1 : 0;
  const down = <i32>y0 < lastY ? 1 : 0;
  if (column < 0 || row < 0 || column + right >= width || row + down >= height) {
    hasMissed = true;
    return 0;
  }
  const fx = px - x0;
  const fy = py - y0;
  const above = row * width + column;
  const below = above + down * width;
  const upper = pixelAt(above) * (1 - fx) + pixelAt(above + right) * fx;
  const lower = pixelAt(below) * (1 - fx) + pixelAt(below + right) * fx;
  return upper * (1 - fy) + lower * fy;
}

function pixelAt(pixel: i32): f64 {
  const i = <usize>(3 * pixel);
  return 0.25 * linear(0, value(i)) + 0.5 * linear(1, value(i + 1)) + 0.25 * linear(2, value(i + 2));
}

function value(i: usize): usize {
  return isWide ? load<u16>(pixels + 2 * i) : load<u8>(pixels + i);
}

function linear(channel: usize, encoded: usize): f64 {
  return <f64>load<f32>(curves + 4 * (channel * levels + encoded));
}
