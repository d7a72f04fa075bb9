/** Outer outlines of connected dark areas: x, y pairs (i32) of their border pixels, clockwise on the screen. */

/** Smallest width or height of an area worth following, pixels of the level. */
const SMALLEST: i32 = 7;

/** Bytes of an area: its box, and the leftmost dark pixel of its top row. */
const AREA: usize = 20;
/** Bytes of a run of dark pixels in a row: its start, end, row, and the run it hangs on. */
const RUN: usize = 16;

let runs: usize = 0;
let areas: usize = 0;

/** Bytes that finding areas works with. */
export function areaBytes(runCount: i32): i32 {
  return runCount * <i32>(RUN + AREA + 4);
}

function start(run: i32): i32 {
  return load<i32>(runs + <usize>run * RUN);
}

function end(run: i32): i32 {
  return load<i32>(runs + <usize>run * RUN, 4);
}

function rowOf(run: i32): i32 {
  return load<i32>(runs + <usize>run * RUN, 8);
}

function parent(run: i32): i32 {
  return load<i32>(runs + <usize>run * RUN, 12);
}

function hang(run: i32, on: i32): void {
  store<i32>(runs + <usize>run * RUN, on, 12);
}

/** With path halving. */
function rootOf(run: i32): i32 {
  let r = run;
  while (parent(r) !== r) {
    hang(r, parent(parent(r)));
    r = parent(r);
  }
  return r;
}

/** Joins runs of dark pixels that touch (8 neighbours) from row to row, and hands back how many areas they make. */
export function findAreas(dark: usize, width: i32, height: i32, runCount: i32, work: usize): i32 {
  runs = work;
  areas = runs + <usize>runCount * RUN;
  let count = 0;
  let aboveFrom = 0;
  for (let y = 0; y < height; y++) {
    const aboveTo = count;
    let above = aboveFrom;
    const row = dark + y * width;
    for (let x = 0; x < width; ) {
      if (load<u8>(row + x) === 0) {
        x++;
        continue;
      }
      const from = x;
      while (x < width && load<u8>(row + x) === 1) x++;
      const run = runs + <usize>count * RUN;
      store<i32>(run, from);
      store<i32>(run, x - 1, 4);
      store<i32>(run, y, 8);
      store<i32>(run, count, 12);
      while (above < aboveTo && end(above) < from - 1) above++;
      for (let i = above; i < aboveTo && start(i) <= x; i++) {
        const a = rootOf(i);
        const b = rootOf(count);
        // the earlier run stays the root: it is the first of its area in reading order
        if (a < b) hang(b, a);
        else if (b < a) hang(a, b);
      }
      count++;
    }
    aboveFrom = aboveTo;
  }
  return gather(count);
}

function gather(count: i32): i32 {
  const index = areas + <usize>count * AREA;
  let areaCount = 0;
  for (let r = 0; r < count; r++) {
    const root = rootOf(r);
    if (root === r) {
      store<i32>(index + 4 * <usize>r, areaCount);
      const area = areas + <usize>areaCount * AREA;
      areaCount++;
      store<i32>(area, start(r));
      store<i32>(area, end(r), 4);
      store<i32>(area, rowOf(r), 8);
      store<i32>(area, rowOf(r), 12);
      store<i32>(area, start(r), 16);
      continue;
    }
    const area = areas + <usize>load<i32>(index + 4 * <usize>root) * AREA;
    store<i32>(area, min(load<i32>(area), start(r)));
    store<i32>(area, max(load<i32>(area, 4), end(r)), 4);
    store<i32>(area, rowOf(r), 12);
  }
  return areaCount;
}

/**
 * Follows the outline of an area of a size that a tag can have, which does not touch the border of the picture, and hands back how many
 * pixels it has; 0 for another.
 */
export function followArea(area: i32, dark: usize, width: i32, height: i32, into: usize): i32 {
  const box = areas + <usize>area * AREA;
  const left = load<i32>(box);
  const right = load<i32>(box, 4);
  const top = load<i32>(box, 8);
  const bottom = load<i32>(box, 12);
  const w = right - left + 1;
  const h = bottom - top + 1;
  if (w < SMALLEST || h < SMALLEST || w > 6 * h || h > 6 * w) return 0;
  if (left === 0 || top === 0 || right === width - 1 || bottom === height - 1) return 0;
  // the outline of a turned quadrilateral has at most 2 (w + h) pixels
  return follow(dark, width, load<i32>(box, 16), top, into, 3 * (w + h));
}

/** Bytes of the longest outline. */
export function outlineBytes(width: i32, height: i32): i32 {
  return 8 * (3 * (width + height) + 1);
}

/** Steps to the eight neighbours, clockwise on the screen, beginning to the right: 1, 0 or −1. */
function stepX(direction: i32): i32 {
  return direction === 2 || direction === 6 ? 0 : direction > 2 && direction < 6 ? -1 : 1;
}

function stepY(direction: i32): i32 {
  return stepX((direction + 6) & 7);
}

/**
 * Follows the outer border of an area from its first pixel in reading order (Moore neighbours); 0 when it has more than `most` pixels.
 * The area must not touch the border.
 */
function follow(dark: usize, width: i32, startX: i32, startY: i32, into: usize, most: i32): i32 {
  let x = startX;
  let y = startY;
  let direction = 7;
  let length = 0;
  let firstDirection = -1;
  while (length <= most) {
    // look clockwise, from just after the pixel that we came from
    let next = -1;
    for (let turn = 0; turn < 8; turn++) {
      const d = (direction + 6 + turn) & 7;
      if (load<u8>(dark + (y + stepY(d)) * width + x + stepX(d)) === 1) {
        next = d;
        break;
      }
    }
    if (next < 0) return 0;
    if (x === startX && y === startY) {
      if (firstDirection < 0) firstDirection = next;
      else if (next === firstDirection) return length;
    }
    store<i32>(into + 8 * <usize>length, x);
    store<i32>(into + 8 * <usize>length, y, 4);
    length++;
    x += stepX(next);
    y += stepY(next);
    direction = next;
  }
  return 0;
}
