/** The pixels of an area: which they are, and what they hold. */
import {
  clipped,
  clips,
  codes,
  curves,
  kinds,
  matrix,
  offsets,
  out,
  room,
  roots,
  SOUND,
  slopes,
  spans,
  toStored,
  us,
  vs,
  weights,
  xs,
  ys,
} from './area';

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
