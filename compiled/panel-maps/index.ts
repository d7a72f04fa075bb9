/**
 * The loops over the panel finder's picture and maps: AssemblyScript, see README.md. What they are for stands in
 * `src/core/panel/outline/maps.ts` and `instances.ts`; `map-code.ts` there lays the memory out and calls them.
 */

import { EDGE, OBJECT, PANEL, size, valueAt, width } from './maps';

export { useMaps } from './maps';
export { findRidge, insideShare, lineProfile, ridgeBytes, sideShare } from './quads';

/** Photo pixels read along each axis of one of the picture. */
const READ_ALONG: i32 = 4;

export function firstFree(): usize {
  return __heap_base;
}

/**
 * Writes a row of the picture: its first place in `planes`, which lie `planeSize` apart. `rows` are the four rows of the photo that it is read
 * from, each of `stride` values; `columns` are the values' places in a row, four for each pixel.
 */
export function pictureRow(
  rows: usize,
  stride: i32,
  isWide: bool,
  columns: usize,
  across: i32,
  curves: usize,
  levels: i32,
  encode: usize,
  per: f64,
  planes: usize,
  planeSize: i32,
): void {
  for (let x = 0; x < across; x++) {
    let r: f64 = 0;
    let g: f64 = 0;
    let b: f64 = 0;
    for (let j = 0; j < READ_ALONG; j++)
      for (let i = 0; i < READ_ALONG; i++) {
        const at = j * stride + load<i32>(columns + 4 * <usize>(READ_ALONG * x + i));
        r += linear(curves, value(rows, isWide, at));
        g += linear(curves, levels + value(rows, isWide, at + 1));
        b += linear(curves, 2 * levels + value(rows, isWide, at + 2));
      }
    const to = planes + 4 * <usize>x;
    store<f32>(to, load<f32>(encode + 4 * <usize>(r * per)));
    store<f32>(to + 4 * <usize>planeSize, load<f32>(encode + 4 * <usize>(g * per)));
    store<f32>(to + 8 * <usize>planeSize, load<f32>(encode + 4 * <usize>(b * per)));
  }
}

function value(rows: usize, isWide: bool, at: i32): i32 {
  return isWide ? <i32>load<u16>(rows + 2 * <usize>at) : <i32>load<u8>(rows + <usize>at);
}

function linear(curves: usize, at: i32): f64 {
  return <f64>load<f32>(curves + 4 * <usize>at);
}

/** Probability of a panel that nothing lies across, and of one without its edge: f32. */
let bare: usize = 0;
let inner: usize = 0;
/** 1 for pixels of the set at hand: u8. */
let open: usize = 0;
/** Lists of pixels: i32. */
let stack: usize = 0;
let gone: usize = 0;

/**
 * Takes over rooms for the maps that `useMaps` told of: two like one of them, one of u8, two of i32. Pixels where `barred` (u8) is 1 are
 * no panel's.
 */
export function prepareParts(
  barred: usize,
  barePlace: usize,
  innerPlace: usize,
  openPlace: usize,
  stackPlace: usize,
  gonePlace: usize,
): void {
  bare = barePlace;
  inner = innerPlace;
  open = openPlace;
  stack = stackPlace;
  gone = gonePlace;
  for (let i = 0; i < size; i++) {
    const place = <usize>i;
    // what lies across two panels must not join them
    const clear = min<f64>(1, 2 - 2 * valueAt(OBJECT, i));
    const p: f32 = load<u8>(barred + place) !== 0 ? 0 : <f32>(valueAt(PANEL, i) * clear);
    store<f32>(bare + 4 * place, p);
    store<f32>(inner + 4 * place, <f32>(<f64>p * (1 - valueAt(EDGE, i))));
  }
}

function pixel(list: usize, i: i32): i32 {
  return load<i32>(list + 4 * <usize>i);
}

function isOpen(at: i32): bool {
  return load<u8>(open + <usize>at) !== 0;
}

function close(at: i32): void {
  store<u8>(open + <usize>at, 0);
}

/** The pixel to the left, to the right, above and below; −1 outside the maps. */
function beside(at: i32, side: i32): i32 {
  if (side === 0) return at % width > 0 ? at - 1 : -1;
  if (side === 1) return (at + 1) % width > 0 ? at + 1 : -1;
  if (side === 2) return at - width;
  return at + width < size ? at + width : -1;
}

/**
 * Connected sets (by sides) of those of `among` that reach a level and lie deep enough, those of fewer than `fewest` left out. The sets'
 * pixels stand one set behind the other, and their sizes in `sizes`. Hands back how many there are.
 */
export function findComponents(
  among: usize,
  count: i32,
  least: f64,
  worn: i32,
  fewest: i32,
  sizes: usize,
): i32 {
  memory.fill(open, 0, size);
  for (let i = 0; i < count; i++) {
    const at = <usize>pixel(among, i);
    if (<f64>load<f32>(inner + 4 * at) >= least) store<u8>(open + at, 1);
  }
  for (let ring = 0; ring < worn; ring++) wearDown(among, count, (ring & 1) === 1);
  let found = 0;
  let from = stack;
  for (let i = 0; i < count; i++) {
    if (!isOpen(pixel(among, i))) continue;
    const length = gather(pixel(among, i), from);
    if (length < fewest) continue;
    store<i32>(sizes + 4 * <usize>found, length);
    found++;
    from += 4 * <usize>length;
  }
  return found;
}

/** Where the sets stand. */
export function components(): usize {
  return stack;
}

/** Moves all open pixels that hang together with the first one to a list, and hands back how many. */
function gather(first: i32, list: usize): i32 {
  close(first);
  store<i32>(list, first);
  let read = 0;
  let end = 1;
  while (read < end) {
    const at = pixel(list, read++);
    for (let side = 0; side < 4; side++) {
      const next = beside(at, side);
      if (next < 0 || !isOpen(next)) continue;
      close(next);
      store<i32>(list + 4 * <usize>end, next);
      end++;
    }
  }
  return end;
}

/** Takes away the pixels that have one outside beside them, and with `corners` those that have one at a corner. */
function wearDown(among: usize, count: i32, corners: bool): void {
  let lost = 0;
  for (let i = 0; i < count; i++) {
    const at = pixel(among, i);
    if (!isOpen(at)) continue;
    let isInside = true;
    for (let side = 0; side < 4; side++) {
      const next = beside(at, side);
      if (next < 0 || !isOpen(next)) isInside = false;
    }
    if (isInside && corners)
      isInside =
        isOpen(at - width - 1) && isOpen(at - width + 1) && isOpen(at + width - 1) && isOpen(at + width + 1);
    if (isInside) continue;
    store<i32>(gone + 4 * <usize>lost, at);
    lost++;
  }
  for (let i = 0; i < lost; i++) close(pixel(gone, i));
}

/**
 * Gives the sets of pixels (as `findComponents` leaves them, of `owners` sizes) to their owners in `owner` (i16, −1 for none), after the
 * sets have taken back, ring by ring, what is panel about them.
 */
export function growBack(sets: usize, sizes: usize, owners: i32, rings: i32, owner: usize): void {
  memory.fill(owner, 0xff, 2 * size);
  let count = 0;
  for (let one = 0; one < owners; one++)
    for (let i = pixel(sizes, one); i > 0; i--) {
      store<i16>(owner + 2 * <usize>pixel(sets, count), <i16>one);
      count++;
    }
  let rim = sets;
  let next = gone;
  for (let ring = 0; ring < rings; ring++) {
    let taken = 0;
    for (let i = 0; i < count; i++) {
      const at = pixel(rim, i);
      for (let side = 0; side < 4; side++) {
        const to = beside(at, side);
        if (to < 0 || load<i16>(owner + 2 * <usize>to) >= 0 || load<f32>(bare + 4 * <usize>to) < 0.5)
          continue;
        store<i16>(owner + 2 * <usize>to, load<i16>(owner + 2 * <usize>at));
        store<i32>(next + 4 * <usize>taken, to);
        taken++;
      }
    }
    count = taken;
    const read = rim;
    rim = next;
    next = read;
  }
}

/** Writes each owner's pixels to `stack`, in order, one owner behind the other, and how many they are to `sizes`. */
export function pixelsByOwner(owner: usize, owners: i32, sizes: usize): void {
  memory.fill(sizes, 0, 4 * owners);
  for (let at = 0; at < size; at++) {
    const one = <i32>load<i16>(owner + 2 * <usize>at);
    if (one >= 0) store<i32>(sizes + 4 * <usize>one, pixel(sizes, one) + 1);
  }
  // where each owner's next pixel goes
  let first = 0;
  for (let one = 0; one < owners; one++) {
    store<i32>(gone + 4 * <usize>one, first);
    first += pixel(sizes, one);
  }
  for (let at = 0; at < size; at++) {
    const one = <i32>load<i16>(owner + 2 * <usize>at);
    if (one < 0) continue;
    const to = pixel(gone, one);
    store<i32>(stack + 4 * <usize>to, at);
    store<i32>(gone + 4 * <usize>one, to + 1);
  }
}
