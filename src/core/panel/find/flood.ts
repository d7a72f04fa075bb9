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

export interface FloodOptions {
  readonly levels: readonly number[];
  readonly fewest: number;
  readonly most: number;
}

/** Pixels with this gradient or more are never flooded: cards and the photo's border. */
export const WALL = 1e9;

/**
 * Floods from the flattest pixels up and hands over every region of `fewest` to `most` pixels at each level, unless
 * it has hardly grown since it was last handed over.
 */
export function flood(
  gradient: Float32Array,
  width: number,
  height: number,
  { levels, fewest, most }: FloodOptions,
): Region[] {
  const n = width * height;
  const parent = new Int32Array(n).fill(-1);
  const area = new Int32Array(n);
  const seen = new Int32Array(n);
  const { order, starts } = byLevel(gradient, levels);
  const find = (i: number): number => {
    let top = i;
    while (parent[top] !== top) top = parent[top];
    let at = i;
    while (parent[at] !== top) {
      const next = parent[at];
      parent[at] = top;
      at = next;
    }
    return top;
  };
  const join = (i: number, j: number): void => {
    let a = find(i);
    let b = find(j);
    if (a === b) return;
    if (area[a] < area[b]) [a, b] = [b, a];
    parent[b] = a;
    area[a] += area[b];
    seen[a] = Math.max(seen[a], seen[b]);
  };

  const found: Region[] = [];
  const slot = new Int32Array(n).fill(-1);
  for (let level = 0; level < levels.length; level++) {
    for (let o = starts[level]; o < starts[level + 1]; o++) {
      const i = order[o];
      parent[i] = i;
      area[i] = 1;
      const x = i % width;
      if (x > 0 && parent[i - 1] >= 0) join(i, i - 1);
      if (x + 1 < width && parent[i + 1] >= 0) join(i, i + 1);
      if (i >= width && parent[i - width] >= 0) join(i, i - width);
      if (i + width < n && parent[i + width] >= 0) join(i, i + width);
    }
    const roots: number[] = [];
    for (let o = 0; o < starts[level + 1]; o++) {
      const i = order[o];
      if (parent[i] !== i || area[i] < fewest || area[i] > most || area[i] < 1.015 * seen[i]) continue;
      seen[i] = area[i];
      slot[i] = roots.length;
      roots.push(i);
    }
    if (roots.length === 0) continue;
    const left = roots.map(() => new Int16Array(height).fill(-1));
    const right = roots.map(() => new Int16Array(height).fill(-1));
    for (let y = 0, i = 0; y < height; y++)
      for (let x = 0; x < width; x++, i++) {
        if (parent[i] < 0) continue;
        const s = slot[find(i)];
        if (s < 0) continue;
        if (left[s][y] < 0) left[s][y] = x;
        right[s][y] = x;
      }
    roots.forEach((r, s) => {
      slot[r] = -1;
      const top = left[s].findIndex((x) => x >= 0);
      const bottom = left[s].findLastIndex((x) => x >= 0);
      found.push({
        area: area[r],
        top,
        left: left[s].slice(top, bottom + 1),
        right: right[s].slice(top, bottom + 1),
        level,
      });
    });
  }
  return found;
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
