import { linear, photoHeight, photoWidth, placeOf } from '../photo-part';

/**
 * Linear light at a place in the photo, 0–1: (R + 2 G + B) / 4, bilinear between pixel centres; beyond its border the border pixels go
 * on.
 */
export function lightAt(x: f64, y: f64): f64 {
  const px = min(<f64>(photoWidth - 1), max(0, x - 0.5));
  const py = min(<f64>(photoHeight - 1), max(0, y - 0.5));
  if (!(px >= 0 && py >= 0)) return NaN;
  const x0 = floor(px);
  const y0 = floor(py);
  const column = <i32>x0;
  const row = <i32>y0;
  const right = column < photoWidth - 1 ? 1 : 0;
  const below = row < photoHeight - 1 ? 1 : 0;
  const first = placeOf(column, row);
  const last = placeOf(column + right, row + below);
  if (first < 0 || last < 0) return 0;
  const fx = px - x0;
  const fy = py - y0;
  const upper = lightOf(first) * (1 - fx) + lightOf(first + right) * fx;
  const lower = lightOf(last - right) * (1 - fx) + lightOf(last) * fx;
  return upper * (1 - fy) + lower * fy;
}

function lightOf(place: i32): f64 {
  return 0.25 * linear(0, place) + 0.5 * linear(1, place) + 0.25 * linear(2, place);
}
