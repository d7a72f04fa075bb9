/**
 * The loops over the pixels of one area of a photo: AssemblyScript, see README.md. `src/core/photo/area-code.ts` lays the memory
 * out and calls them; what they are for stands with the functions of `src/core/photo/sample-*.ts` that are named here.
 */

export { evenFallOff, fallOffBytes, fitFallOff } from './fall-off';

// what lies where, in the order of `use`

let spans: u32 = 0;
/** Encoded values of the spans' pixels, one span behind the other. */
let codes: u32 = 0;
let matrix: u32 = 0;
let curves: u32 = 0;
let clips: u32 = 0;
let slopes: u32 = 0;
let offsets: u32 = 0;
let toStored: u32 = 0;
let xs: u32 = 0;
let ys: u32 = 0;
let us: u32 = 0;
let vs: u32 = 0;
/** Root values: three times `room` f32. */
let roots: u32 = 0;
let weights: u32 = 0;
let kinds: u32 = 0;
let clipped: u32 = 0;
let tileOf: u32 = 0;
/** Per tile: pixels, sums of u, v, and of the three roots; f64 each. */
let tiles: u32 = 0;
let bins: u32 = 0;
/** Numbers handed back, f64. */
let out: u32 = 0;
/** Sums by block, see `AreaSums`. */
let blocks: u32 = 0;
/** Pixels that there is room for. */
let room: u32 = 0;

const SOUND: u8 = 0;
const GLARE: u8 = 1;
const DUST: u8 = 2;
/** A bright speck, before it is known how many there are. */
const BRIGHT: u8 = 3;

export function firstFree(): usize {
  return __heap_base;
}

/** Takes over a list of addresses, u32 each. */
export function use(table: u32, pixels: u32): void {
  spans = load<u32>(table);
  codes = load<u32>(table, 4);
  matrix = load<u32>(table, 8);
  curves = load<u32>(table, 12);
  clips = load<u32>(table, 16);
  slopes = load<u32>(table, 20);
  offsets = load<u32>(table, 24);
  toStored = load<u32>(table, 28);
  xs = load<u32>(table, 32);
  ys = load<u32>(table, 36);
  us = load<u32>(table, 40);
  vs = load<u32>(table, 44);
  roots = load<u32>(table, 48);
  weights = load<u32>(table, 52);
  kinds = load<u32>(table, 56);
  clipped = load<u32>(table, 60);
  tileOf = load<u32>(table, 64);
  tiles = load<u32>(table, 68);
  bins = load<u32>(table, 72);
  out = load<u32>(table, 76);
  blocks = load<u32>(table, 80);
  room = pixels;
}

/**
 * Finds the pixels of a convex quadrilateral, whose corners (x, y) stand in `matrix`: for every `stride`-th row the run of pixels whose
 * centres lie in it, from a first one that is not the same in every row. Fills `spans` and hands back how many pixels lie between
 * first and end of all, the first x, the largest end, and how many pixels will be visited.
 */
export function findSpans(stride: i32, width: i32, height: i32): u32 {
  let lowest = Infinity;
  let highest = -Infinity;
  for (let i: u32 = 0; i < 64; i += 16) {
    const y = load<f64>(matrix + i, 8);
    lowest = min(lowest, y);
    highest = max(highest, y);
  }
  const first = max(0, <i32>ceil(lowest - 0.5));
  const last = min(height - 1, <i32>ceil(highest - 0.5) - 1);
  let count: u32 = 0;
  let between = 0;
  let visits = 0;
  let leftmost = width;
  let rightmost = 0;
  for (let y = first + (stride >> 1); y <= last; y += stride) {
    const at = <f64>y + 0.5;
    let left = Infinity;
    let right = -Infinity;
    for (let i: u32 = 0; i < 64; i += 16) {
      const next = (i + 16) & 63;
      const x0 = load<f64>(matrix + i);
      const y0 = load<f64>(matrix + i, 8);
      const x1 = load<f64>(matrix + next);
      const y1 = load<f64>(matrix + next, 8);
      if (y0 <= at !== y1 <= at) {
        const x = x0 + ((at - y0) / (y1 - y0)) * (x1 - x0);
        if (x < left) left = x;
        if (x > right) right = x;
      }
    }
    const from = max(0, <i32>ceil(left - 0.5));
    const to = min(width, <i32>ceil(right - 0.5));
    if (to <= from) continue;
    const start = from + <i32>(((<u32>y * 0x9e3779b1) >> 8) % <u32>stride);
    if (start >= to) continue;
    const span = spans + 12 * count++;
    store<u32>(span, <u32>y);
    store<u32>(span, <u32>start, 4);
    store<u32>(span, <u32>to, 8);
    between += to - start;
    visits += (to - start + stride - 1) / stride;
    leftmost = min(leftmost, start);
    rightmost = max(rightmost, to);
  }
  store<f64>(out, <f64>between);
  store<f64>(out, <f64>leftmost, 8);
  store<f64>(out, <f64>rightmost, 16);
  store<f64>(out, <f64>visits, 24);
  return count;
}

/**
 * Visits every `stride`-th pixel of the spans (y, first x, end), fills the arrays and hands back the sums of the three encoded
 * values. `columns` of cells is 0 where nothing is known of a decoder's rounding.
 */
export function visit(spanCount: u32, stride: u32, bytes: u32, levels: u32, columns: i32): u32 {
  const m0 = load<f64>(matrix);
  const m1 = load<f64>(matrix, 8);
  const m2 = load<f64>(matrix, 16);
  const m3 = load<f64>(matrix, 24);
  const m4 = load<f64>(matrix, 32);
  const m5 = load<f64>(matrix, 40);
  const m6 = load<f64>(matrix, 48);
  const m7 = load<f64>(matrix, 56);
  const m8 = load<f64>(matrix, 64);
  const curveG = curves + 4 * levels;
  const curveB = curveG + 4 * levels;
  const rootG = roots + 4 * room;
  const rootB = rootG + 4 * room;
  let sumR: u64 = 0;
  let sumG: u64 = 0;
  let sumB: u64 = 0;
  let n: u32 = 0;
  let row = codes;
  for (let s: u32 = 0; s < spanCount; s++) {
    const y = load<u32>(spans + 12 * s);
    const first = load<u32>(spans + 12 * s, 4);
    const end = load<u32>(spans + 12 * s, 8);
    const cy = <f64>y + 0.5;
    for (let x = first; x < end; x += stride) {
      const at = row + 3 * bytes * (x - first);
      const r = bytes === 1 ? <u32>load<u8>(at) : <u32>load<u16>(at);
      const g = bytes === 1 ? <u32>load<u8>(at, 1) : <u32>load<u16>(at, 2);
      const b = bytes === 1 ? <u32>load<u8>(at, 2) : <u32>load<u16>(at, 4);
      const cx = <f64>x + 0.5;
      const w = m6 * cx + m7 * cy + m8;
      store<u16>(xs + 2 * n, <u16>x);
      store<u16>(ys + 2 * n, <u16>y);
      store<f32>(us + 4 * n, <f32>((m0 * cx + m1 * cy + m2) / w - 0.5));
      store<f32>(vs + 4 * n, <f32>((m3 * cx + m4 * cy + m5) / w - 0.5));
      let valueR = load<f32>(curves + 4 * r);
      let valueG = load<f32>(curveG + 4 * g);
      let valueB = load<f32>(curveB + 4 * b);
      if (columns > 0) {
        const cell = offsets + 3 * cellOf(x, y, columns);
        valueR = <f32>(<f64>valueR + (<f64>load<i8>(cell) / 64) * <f64>load<f32>(slopes + 4 * r));
        valueG = <f32>(<f64>valueG + (<f64>load<i8>(cell, 1) / 64) * <f64>load<f32>(slopes + 1024 + 4 * g));
        valueB = <f32>(<f64>valueB + (<f64>load<i8>(cell, 2) / 64) * <f64>load<f32>(slopes + 2048 + 4 * b));
      }
      store<f32>(roots + 4 * n, valueR);
      store<f32>(rootG + 4 * n, valueG);
      store<f32>(rootB + 4 * n, valueB);
      const bits =
        <u32>load<u8>(clips + r) | ((<u32>load<u8>(clips + g)) << 1) | ((<u32>load<u8>(clips + b)) << 2);
      store<u8>(clipped + n, <u8>bits);
      sumR += r;
      sumG += g;
      sumB += b;
      store<f32>(weights + 4 * n, 1);
      store<u8>(kinds + n, SOUND);
      n++;
    }
    row += 3 * bytes * (end - first);
  }
  store<f64>(out, <f64>sumR);
  store<f64>(out, <f64>sumG, 8);
  store<f64>(out, <f64>sumB, 16);
  return n;
}

/** The cell of a JPEG's blocks that a pixel of the upright picture lies in; see `Rounding`. */
function cellOf(x: u32, y: u32, columns: i32): i32 {
  const px = <i32>x;
  const py = <i32>y;
  const column = load<i32>(toStored) * px + load<i32>(toStored, 4) * py + load<i32>(toStored, 8);
  const row = load<i32>(toStored, 12) * px + load<i32>(toStored, 16) * py + load<i32>(toStored, 20);
  return (row >> 3) * columns + (column >> 3);
}

/** Weighs the pixels by what lies inside of four edges (`inwardEdges`, at `edges`), and drops those that lie outside. */
export function keepCovered(count: u32, edges: u32): u32 {
  let kept: u32 = 0;
  for (let i: u32 = 0; i < count; i++) {
    const x = <f64>load<u16>(xs + 2 * i) + 0.5;
    const y = <f64>load<u16>(ys + 2 * i) + 0.5;
    let share: f64 = 1;
    for (let e = edges; e < edges + 96; e += 24) {
      const inside = load<f64>(e) * x + load<f64>(e, 8) * y + load<f64>(e, 16) + 0.5;
      if (inside <= 0) {
        share = 0;
        break;
      }
      if (inside < 1) share *= inside;
    }
    if (share === 0) continue;
    store<u16>(xs + 2 * kept, load<u16>(xs + 2 * i));
    store<u16>(ys + 2 * kept, load<u16>(ys + 2 * i));
    store<f32>(us + 4 * kept, load<f32>(us + 4 * i));
    store<f32>(vs + 4 * kept, load<f32>(vs + 4 * i));
    for (let c: u32 = 0; c < 3; c++) {
      const root = roots + 4 * c * room;
      store<f32>(root + 4 * kept, load<f32>(root + 4 * i));
    }
    store<u8>(clipped + kept, load<u8>(clipped + i));
    store<f32>(weights + 4 * kept, <f32>share);
    kept++;
  }
  return kept;
}

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

function add(at: u32, value: f64): void {
  store<f64>(at, load<f64>(at) + value);
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

/** Quartiles of the sound pixels' roots in a channel, by `binCount` bins of `width`, into `out`; see `markSpecks`. */
export function quartilesOf(count: u32, channel: u32, binCount: u32, width: f64): void {
  const n = <f64>countByLevel(count, channel, binCount, width);
  memory.fill(out, 0, 24);
  let found: u32 = 0;
  let below: f64 = 0;
  for (let k: u32 = 0; k < binCount && found < 3; k++) {
    const held = <f64>load<u32>(bins + 4 * k);
    const upTo = below + held;
    while (found < 3 && held > 0 && upTo >= (<f64>(found + 1) * n) / 4) {
      store<f64>(out + 8 * found, width * (<f64>k + ((<f64>(found + 1) * n) / 4 - below) / held));
      found++;
    }
    below = upTo;
  }
}

/** Counts the sound pixels' roots into `bins`; returns how many pixels there are. */
function countByLevel(count: u32, channel: u32, binCount: u32, width: f64): u32 {
  memory.fill(bins, 0, 4 * binCount);
  const root = roots + 4 * channel * room;
  const last = <f64>(binCount - 1);
  let n: u32 = 0;
  for (let i: u32 = 0; i < count; i++) {
    if (load<u8>(kinds + i) !== SOUND) continue;
    const bin = <i32>min(last, <f64>load<f32>(root + 4 * i) / width);
    const at = bins + 4 * bin;
    store<u32>(at, load<u32>(at) + 1);
    n++;
  }
  return n;
}

/**
 * Marks single pixels beyond the limits in `out` (low and high of each channel): see `markSpecks`. Bright ones stay where they are
 * more than `sparkle` of the sound.
 */
export function markSpecks(count: u32, sparkle: f64): void {
  let sound: u32 = 0;
  let bright: u32 = 0;
  for (let i: u32 = 0; i < count; i++) {
    if (load<u8>(kinds + i) !== SOUND) continue;
    sound++;
    let isLow = false;
    let isHigh = false;
    for (let c: u32 = 0; c < 3; c++) {
      const value = <f64>load<f32>(roots + 4 * (c * room + i));
      if (value < load<f64>(out + 16 * c)) isLow = true;
      if (value > load<f64>(out + 16 * c, 8)) isHigh = true;
    }
    if (isLow) store<u8>(kinds + i, DUST);
    else if (isHigh) {
      store<u8>(kinds + i, BRIGHT);
      bright++;
    }
  }
  if (bright === 0) return;
  const verdict = <f64>bright <= sparkle * <f64>sound ? GLARE : SOUND;
  for (let i: u32 = 0; i < count; i++) if (load<u8>(kinds + i) === BRIGHT) store<u8>(kinds + i, verdict);
}

/** Counts, into `out`: glare, dust, and the sound pixels with each of the six clipped bits. */
export function countKinds(count: u32): void {
  memory.fill(out, 0, 64);
  for (let i: u32 = 0; i < count; i++) {
    const kind = load<u8>(kinds + i);
    if (kind === GLARE) add(out, 1);
    else if (kind === DUST) add(out + 8, 1);
    if (kind !== SOUND) continue;
    const bits: u32 = load<u8>(clipped + i);
    if (bits === 0) continue;
    for (let k: u32 = 0; k < 6; k++) if (bits & (1 << k)) add(out + 16 + 8 * k, 1);
  }
}

/**
 * Sums over the pixels without a verdict and without a clipped bit of `any`, in a channel of its own of `skips` (three bytes, the
 * lowest red's). Into `out`: pixels, x, y, u, v, then per channel count, sum, sum of squares. By block, six numbers each, into
 * `blocks`.
 */
export function addSums(
  count: u32,
  any: u32,
  skips: u32,
  left: i32,
  top: i32,
  columns: i32,
  rows: i32,
  shift: u32,
): void {
  memory.fill(out, 0, 112);
  memory.fill(blocks, 0, 48 * columns * rows);
  for (let i: u32 = 0; i < count; i++) {
    if (load<u8>(kinds + i) !== SOUND) continue;
    const bits: u32 = load<u8>(clipped + i);
    const x: i32 = load<u16>(xs + 2 * i);
    const y: i32 = load<u16>(ys + 2 * i);
    const w = <f64>load<f32>(weights + 4 * i);
    if ((bits & any) === 0) {
      add(out, w);
      add(out + 8, w * (<f64>x + 0.5));
      add(out + 16, w * (<f64>y + 0.5));
      add(out + 24, w * <f64>load<f32>(us + 4 * i));
      add(out + 32, w * <f64>load<f32>(vs + 4 * i));
    }
    const block = blocks + 48 * (((y >> shift) - top) * columns + (x >> shift) - left);
    for (let c: u32 = 0; c < 3; c++) {
      if (bits & ((skips >> (8 * c)) & 0xff)) continue;
      const root = <f64>load<f32>(roots + 4 * (c * room + i));
      const value = root * root * root;
      const weighed = w * value;
      const sums = out + 40 + 24 * c;
      add(block + 8 * c, weighed);
      add(block + 24 + 8 * c, w);
      add(sums, w);
      add(sums + 8, weighed);
      add(sums + 16, weighed * value);
    }
  }
}

/**
 * After `addSums`: per channel the variance of its mean by blocks of ever larger size (`standardErrors`), into `out`, and behind
 * the three the mean squared distance of its pixels from it. A scale with fewer than `fewest` blocks says nothing; `fitted` degrees
 * of freedom are gone.
 */
export function variances(
  left: i32,
  top: i32,
  columns: i32,
  rows: i32,
  scales: i32,
  fewest: u32,
  fitted: f64,
): void {
  for (let k = blocks; k < blocks + 48 * <u32>(columns * rows); k += 48)
    for (let c: u32 = 0; c < 24; c += 8) add(k + c, -meanOf(c) * load<f64>(k + c, 24));
  for (let c: u32 = 0; c < 24; c += 8) {
    const n = load<f64>(out + 40 + 3 * c);
    const sum = load<f64>(out + 48 + 3 * c);
    const squares = n < 2 ? 0 : max<f64>(0, load<f64>(out + 56 + 3 * c) - (sum * sum) / n);
    store<f64>(counts + c, n);
    store<f64>(scatter + c, n < 2 ? 0 : squares / n);
    store<f64>(largest + c, n < 2 ? 0 : squares / (n * max<f64>(1, n - fitted)));
    store<u8>(isDone + (c >> 3), n < 2 ? 1 : 0);
  }
  let from = blocks;
  for (let scale = 0; scale < scales; scale++) {
    for (let c: u32 = 0; c < 24; c += 8)
      if (load<u8>(isDone + (c >> 3)) === 0) judgeScale(from, columns * rows, c, fewest, fitted);
    if (scale === scales - 1) break;
    const to = from + 48 * <u32>(columns * rows);
    const coarseColumns = ((left + columns - 1) >> 1) - (left >> 1) + 1;
    const coarseRows = ((top + rows - 1) >> 1) - (top >> 1) + 1;
    memory.fill(to, 0, 48 * coarseColumns * coarseRows);
    for (let r = 0; r < rows; r++)
      for (let column = 0; column < columns; column++) {
        const into =
          to + 48 * ((((top + r) >> 1) - (top >> 1)) * coarseColumns + ((left + column) >> 1) - (left >> 1));
        const own = from + 48 * (r * columns + column);
        for (let k: u32 = 0; k < 48; k += 8) add(into + k, load<f64>(own + k));
      }
    left >>= 1;
    top >>= 1;
    columns = coarseColumns;
    rows = coarseRows;
    from = to;
  }
  memory.copy(out, largest, 24);
  memory.copy(out + 24, scatter, 24);
}

const counts = memory.data(24);
const scatter = memory.data(24);
const largest = memory.data(24);
const isDone = memory.data(3);

/** Mean of a channel, `c` being eight times its number. */
function meanOf(c: u32): f64 {
  return load<f64>(out + 48 + 3 * c) / max<f64>(1, load<f64>(out + 40 + 3 * c));
}

function judgeScale(from: u32, count: u32, c: u32, fewest: u32, fitted: f64): void {
  let held: u32 = 0;
  let total: f64 = 0;
  for (let k = from + c; k < from + 48 * count; k += 48)
    if (load<f64>(k, 24) > 0) {
      held++;
      const sum = load<f64>(k);
      total += sum * sum;
    }
  if (held < fewest) {
    store<u8>(isDone + (c >> 3), 1);
    return;
  }
  const n = load<f64>(counts + c);
  const variance = ((<f64>held / (<f64>held - fitted)) * total) / (n * n);
  if (variance > load<f64>(largest + c)) store<f64>(largest + c, variance);
}

/** Sums per cell of a grid of `side` × `side`, fifteen numbers each, into `out`; see `readCells`. */
export function addCells(count: u32, any: u32, skips: u32, side: i32): void {
  const last = side - 1;
  memory.fill(out, 0, 120 * side * side);
  for (let i: u32 = 0; i < count; i++) {
    const u = <f64>load<f32>(us + 4 * i);
    const v = <f64>load<f32>(vs + 4 * i);
    const column = min(last, max(0, <i32>((u + 0.5) * <f64>side)));
    const row = min(last, max(0, <i32>((v + 0.5) * <f64>side)));
    const at = out + 120 * (row * side + column);
    const w = <f64>load<f32>(weights + 4 * i);
    add(at, w);
    const bits: u32 = load<u8>(clipped + i);
    if (load<u8>(kinds + i) !== SOUND || bits & any) continue;
    add(at + 8, w);
    add(at + 16, w * (<f64>load<u16>(xs + 2 * i) + 0.5));
    add(at + 24, w * (<f64>load<u16>(ys + 2 * i) + 0.5));
    add(at + 32, w * u);
    add(at + 40, w * v);
    for (let c: u32 = 0; c < 3; c++) {
      if (bits & ((skips >> (8 * c)) & 0xff)) continue;
      const root = <f64>load<f32>(roots + 4 * (c * room + i));
      const value = root * root * root * 1e-6;
      const weighed = w * value;
      add(at + 48 + 24 * c, w);
      add(at + 56 + 24 * c, weighed);
      add(at + 64 + 24 * c, weighed * value);
    }
  }
}
