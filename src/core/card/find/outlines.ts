/** Smallest width or height of an area worth following, pixels of the level. */
const SMALLEST = 7;

/** The outer outline of a connected dark area: x, y pairs of its border pixels, clockwise on the screen. */
export type Outline = Int32Array;

/**
 * Outer outlines of all connected (8 neighbours) dark areas of a size that a tag can have, none of which touches the
 * border of the picture.
 */
export function outlinesOf(dark: Uint8Array, width: number, height: number): Outline[] {
  const areas = connectedAreas(dark, width, height);
  const outlines: Outline[] = [];
  const buffer = new Int32Array(16 * (width + height));
  for (let a = 0; a < areas.count; a++) {
    const w = areas.right[a] - areas.left[a] + 1;
    const h = areas.bottom[a] - areas.top[a] + 1;
    if (w < SMALLEST || h < SMALLEST || w > 6 * h || h > 6 * w) continue;
    if (areas.left[a] === 0 || areas.top[a] === 0) continue;
    if (areas.right[a] === width - 1 || areas.bottom[a] === height - 1) continue;
    // the outline of a turned quadrilateral has at most 2 (w + h) pixels
    const length = follow(dark, width, areas.firstX[a], areas.top[a], buffer, 3 * (w + h));
    if (length > 0) outlines.push(buffer.slice(0, 2 * length));
  }
  return outlines;
}

interface Areas {
  readonly count: number;
  readonly left: Int32Array;
  readonly right: Int32Array;
  readonly top: Int32Array;
  readonly bottom: Int32Array;
  /** Leftmost dark pixel of the top row. */
  readonly firstX: Int32Array;
}

/** Joins runs of dark pixels that touch from row to row (union–find with path halving). */
function connectedAreas(dark: Uint8Array, width: number, height: number): Areas {
  const most = countRuns(dark, width);
  const start = new Int32Array(most);
  const end = new Int32Array(most);
  const row = new Int32Array(most);
  const parent = new Int32Array(most);
  const rootOf = (run: number): number => {
    let r = run;
    while (parent[r] !== r) {
      parent[r] = parent[parent[r]];
      r = parent[r];
    }
    return r;
  };
  let runs = 0;
  let aboveFrom = 0;
  for (let y = 0; y < height; y++) {
    const aboveTo = runs;
    let above = aboveFrom;
    const base = y * width;
    for (let x = 0; x < width; ) {
      if (dark[base + x] === 0) {
        x++;
        continue;
      }
      const from = x;
      while (x < width && dark[base + x] === 1) x++;
      start[runs] = from;
      end[runs] = x - 1;
      row[runs] = y;
      parent[runs] = runs;
      while (above < aboveTo && end[above] < from - 1) above++;
      for (let i = above; i < aboveTo && start[i] <= x; i++) {
        const a = rootOf(i);
        const b = rootOf(runs);
        // the earlier run stays the root: it is the first of its area in reading order
        if (a < b) parent[b] = a;
        else if (b < a) parent[a] = b;
      }
      runs++;
    }
    aboveFrom = aboveTo;
  }
  return gather(runs, start, end, row, parent, rootOf);
}

function countRuns(dark: Uint8Array, width: number): number {
  let runs = 0;
  for (let i = 0, x = 0; i < dark.length; i++) {
    if (dark[i] === 1 && (x === 0 || dark[i - 1] === 0)) runs++;
    x = x + 1 === width ? 0 : x + 1;
  }
  return runs;
}

function gather(
  runs: number,
  start: Int32Array,
  end: Int32Array,
  row: Int32Array,
  parent: Int32Array,
  rootOf: (run: number) => number,
): Areas {
  const index = new Int32Array(runs);
  let count = 0;
  for (let r = 0; r < runs; r++) if (parent[r] === r) index[r] = count++;
  const left = new Int32Array(count).fill(0x7fffffff);
  const right = new Int32Array(count);
  const top = new Int32Array(count);
  const bottom = new Int32Array(count);
  const firstX = new Int32Array(count);
  for (let r = 0; r < runs; r++) {
    const root = rootOf(r);
    const a = index[root];
    if (root === r) {
      top[a] = row[r];
      firstX[a] = start[r];
    }
    if (start[r] < left[a]) left[a] = start[r];
    if (end[r] > right[a]) right[a] = end[r];
    if (row[r] > bottom[a]) bottom[a] = row[r];
  }
  return { count, left, right, top, bottom, firstX };
}

/** Steps to the eight neighbours, clockwise on the screen, beginning to the right. */
const STEP_X = [1, 1, 0, -1, -1, -1, 0, 1] as const;
const STEP_Y = [0, 1, 1, 1, 0, -1, -1, -1] as const;

/**
 * Follows the outer border of an area from its first pixel in reading order (Moore neighbours) and writes the
 * pixels to `into`; answers how many, or 0 when there are more than `most`. The area must not touch the border.
 */
function follow(
  dark: Uint8Array,
  width: number,
  startX: number,
  startY: number,
  into: Int32Array,
  most: number,
): number {
  let x = startX;
  let y = startY;
  let direction = 7;
  let length = 0;
  let firstDirection = -1;
  for (;;) {
    // look clockwise, from just after the pixel that we came from
    let next = -1;
    for (let turn = 0; turn < 8; turn++) {
      const d = (direction + 6 + turn) & 7;
      if (dark[(y + STEP_Y[d]) * width + x + STEP_X[d]] === 1) {
        next = d;
        break;
      }
    }
    if (next < 0) return 0;
    if (x === startX && y === startY) {
      if (firstDirection < 0) firstDirection = next;
      else if (next === firstDirection) return length;
    }
    if (length >= most || 2 * length + 2 > into.length) return 0;
    into[2 * length] = x;
    into[2 * length + 1] = y;
    length++;
    x += STEP_X[next];
    y += STEP_Y[next];
    direction = next;
  }
}
