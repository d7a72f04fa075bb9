/** The network's maps, one plane of f32 after another. */

let planes: usize = 0;

/** Pixels in a row, and in all. */
export let width: i32 = 0;
export let size: i32 = 0;
let height: i32 = 0;

export const PANEL: i32 = 0;
export const EDGE: i32 = 1;
export const OBJECT: i32 = 3;
export const CARD: i32 = 4;

/** Where an object lies this surely, the other maps tell nothing of the panel. */
export const COVERED: f64 = 0.35;

export function useMaps(planesAt: usize, across: i32, down: i32): void {
  planes = planesAt;
  width = across;
  height = down;
  size = across * down;
}

export function valueAt(map: i32, pixel: i32): f64 {
  return <f64>load<f32>(planes + 4 * <usize>(map * size + pixel));
}

/** Index of the map pixel at a place; −1 outside the maps. */
export function pixelAt(x: f64, y: f64): i32 {
  if (!(x >= 0 && y >= 0 && x < <f64>width && y < <f64>height)) return -1;
  return <i32>floor(y) * width + <i32>floor(x);
}

/** A map's value between pixel centres. */
export function between(map: i32, x: f64, y: f64): f64 {
  const px = min(<f64>width - 1.001, max(0, x - 0.5));
  const py = min(<f64>height - 1.001, max(0, y - 0.5));
  if (!(px >= 0 && py >= 0)) return NaN;
  const x0 = floor(px);
  const y0 = floor(py);
  const fx = px - x0;
  const fy = py - y0;
  const i = <i32>y0 * width + <i32>x0;
  const top = valueAt(map, i) + fx * (valueAt(map, i + 1) - valueAt(map, i));
  const bottom = valueAt(map, i + width) + fx * (valueAt(map, i + width + 1) - valueAt(map, i + width));
  return top + fy * (bottom - top);
}
