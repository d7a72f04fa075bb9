/**
 * Regions of a photo that are flat up to a gradient, for a rising series of gradients: the quasi-flat zones of
 * Meyer (1998), kept as a union–find forest that grows from one level to the next.
 */

/** One region at one level. */
export interface Region {
  /** Pixels, holes not counted. */
  readonly area: number;
  /** First row of the region, and per row from there its leftmost and rightmost pixel (−1 where it has none). */
  readonly top: number;
  readonly left: Int16Array;
  readonly right: Int16Array;
  /** Index into the levels. */
  readonly level: number;
}

/** Regions this near the photo's rim are cut by it. */
const RIM = 2;

export interface FloodOptions {
  readonly levels: readonly number[];
  readonly fewest: number;
  readonly most: number;
}

/** Pixels with this gradient or more are never flooded: cards and the photo's border. */
export const WALL = 1e9;

/**
 * Floods from the flattest pixels up and hands over every region of `fewest` to `most` pixels at each level, unless
 * it is cut by the photo's rim or has hardly grown since it was last handed over.
 */
export function flood(
  gradient: Float32Array,
  width: number,
  height: number,
  { levels, fewest, most }: FloodOptions,
): Region[] {
  const forest = plant(width * height);
  const { parent, area, seen, x0, x1, y0, y1 } = forest;
  const { order, starts } = byLevel(gradient, levels);
  const found: Region[] = [];
  for (let level = 0; level < levels.length; level++) {
    for (let o = starts[level]; o < starts[level + 1]; o++) {
      const i = order[o];
      const x = i % width;
      const y = (i - x) / width;
      parent[i] = i;
      area[i] = 1;
      x0[i] = x;
      x1[i] = x;
      y0[i] = y;
      y1[i] = y;
      if (x > 0 && parent[i - 1] >= 0) join(forest, i, i - 1);
      if (x + 1 < width && parent[i + 1] >= 0) join(forest, i, i + 1);
      if (y > 0 && parent[i - width] >= 0) join(forest, i, i - width);
      if (y + 1 < height && parent[i + width] >= 0) join(forest, i, i + width);
    }
    // only a region that was joined by a pixel of this level has grown
    for (let o = starts[level]; o < starts[level + 1]; o++) {
      const i = rootOf(parent, order[o]);
      if (area[i] < fewest || area[i] > most || area[i] < 1.015 * seen[i]) continue;
      seen[i] = area[i];
      if (x0[i] <= RIM || y0[i] <= RIM || x1[i] >= width - 1 - RIM || y1[i] >= height - 1 - RIM) continue;
      found.push(regionOf(forest, i, width, level));
    }
  }
  return found;
}

/** Trees of pixels, each a region; what is known of one stands at its root. */
interface Forest {
  /** −1 for pixels not flooded yet, itself for a root. */
  readonly parent: Int32Array;
  readonly area: Int32Array;
  /** Area when last handed over. */
  readonly seen: Int32Array;
  readonly x0: Int16Array;
  readonly x1: Int16Array;
  readonly y0: Int16Array;
  readonly y1: Int16Array;
}

function plant(n: number): Forest {
  return {
    parent: new Int32Array(n).fill(-1),
    area: new Int32Array(n),
    seen: new Int32Array(n),
    x0: new Int16Array(n),
    x1: new Int16Array(n),
    y0: new Int16Array(n),
    y1: new Int16Array(n),
  };
}

function rootOf(parent: Int32Array, i: number): number {
  let top = i;
  while (parent[top] !== top) top = parent[top];
  let at = i;
  while (parent[at] !== top) {
    const next = parent[at];
    parent[at] = top;
    at = next;
  }
  return top;
}

function join({ parent, area, seen, x0, x1, y0, y1 }: Forest, i: number, j: number): void {
  let a = rootOf(parent, i);
  let b = rootOf(parent, j);
  if (a === b) return;
  if (area[a] < area[b]) {
    const swap = a;
    a = b;
    b = swap;
  }
  parent[b] = a;
  area[a] += area[b];
  if (seen[b] > seen[a]) seen[a] = seen[b];
  if (x0[b] < x0[a]) x0[a] = x0[b];
  if (x1[b] > x1[a]) x1[a] = x1[b];
  if (y0[b] < y0[a]) y0[a] = y0[b];
  if (y1[b] > y1[a]) y1[a] = y1[b];
}

function regionOf(
  { parent, area, x0, x1, y0, y1 }: Forest,
  root: number,
  width: number,
  level: number,
): Region {
  const top = y0[root];
  const rows = y1[root] - top + 1;
  const left = new Int16Array(rows).fill(-1);
  const right = new Int16Array(rows).fill(-1);
  for (let r = 0; r < rows; r++)
    for (let x = x0[root]; x <= x1[root]; x++) {
      const i = (top + r) * width + x;
      if (parent[i] < 0 || rootOf(parent, i) !== root) continue;
      if (left[r] < 0) left[r] = x;
      right[r] = x;
    }
  return { area: area[root], top, left, right, level };
}

/** Pixels sorted by the first level that reaches their gradient; `starts[k]` to `starts[k + 1]` are level k's. */
function byLevel(
  gradient: Float32Array,
  levels: readonly number[],
): { order: Int32Array; starts: Int32Array } {
  const count = levels.length;
  const of = new Uint8Array(gradient.length);
  const starts = new Int32Array(count + 2);
  for (let i = 0; i < gradient.length; i++) {
    let k = 0;
    while (k < count && gradient[i] > levels[k]) k++;
    of[i] = k;
    starts[k + 1]++;
  }
  for (let k = 0; k <= count; k++) starts[k + 1] += starts[k];
  const next = starts.slice();
  const order = new Int32Array(gradient.length);
  for (let i = 0; i < gradient.length; i++) order[next[of[i]]++] = i;
  return { order, starts };
}
