/** An area in tiles: their means and scatter, and what is done about them. */
import { add, kinds, out, room, roots, tileOf, tiles, us, vs } from './area';

/** Means over a grid of `side` × `side` tiles; see `tilesOf`. */
export function addTiles(count: u32, side: i32): void {
  const last = side - 1;
  const tileCount = side * side;
  memory.fill(tiles, 0, 48 * tileCount);
  for (let i: u32 = 0; i < count; i++) {
    const u = <f64>load<f32>(us + 4 * i);
    const v = <f64>load<f32>(vs + 4 * i);
    const column = max(0, min(last, <i32>((u + 0.5) * <f64>side)));
    const row = max(0, min(last, <i32>((v + 0.5) * <f64>side)));
    const t = row * side + column;
    store<u16>(tileOf + 2 * i, <u16>t);
    const at = tiles + 48 * t;
    add(at, 1);
    add(at + 8, u);
    add(at + 16, v);
    add(at + 24, <f64>load<f32>(roots + 4 * i));
    add(at + 32, <f64>load<f32>(roots + 4 * (i + room)));
    add(at + 40, <f64>load<f32>(roots + 4 * (i + 2 * room)));
  }
}

/** Per tile, summed squares of a channel's distance from the tile's mean, into `out`; the means are `means`, f64 each. */
export function addTileSquares(count: u32, channel: u32, tileCount: u32, means: u32): void {
  memory.fill(out, 0, 8 * tileCount);
  const root = roots + 4 * channel * room;
  for (let i: u32 = 0; i < count; i++) {
    const t: u32 = load<u16>(tileOf + 2 * i);
    const d = <f64>load<f32>(root + 4 * i) - load<f64>(means + 8 * t);
    add(out + 8 * t, d * d);
  }
}

/** Gives each pixel the verdict on its tile, one byte a tile at `verdicts`. */
export function markTiles(count: u32, verdicts: u32): void {
  for (let i: u32 = 0; i < count; i++) store<u8>(kinds + i, load<u8>(verdicts + load<u16>(tileOf + 2 * i)));
}

/** Scales the root values to what they would be under the light at the area's middle. */
export function undoFallOff(count: u32, alongU: f64, alongV: f64): void {
  for (let i: u32 = 0; i < count; i++) {
    const level = Math.exp((alongU * <f64>load<f32>(us + 4 * i) + alongV * <f64>load<f32>(vs + 4 * i)) / -3);
    for (let c: u32 = 0; c < 3; c++) {
      const at = roots + 4 * (c * room + i);
      store<f32>(at, <f32>(<f64>load<f32>(at) * level));
    }
  }
}
