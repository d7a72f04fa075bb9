/** What an area's sound pixels come to: sums over all of them, by block and by cell, and the variance of their mean. */
import { add, blocks, clipped, kinds, out, room, roots, SOUND, us, vs, weights, xs, ys } from './area';

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
