/** Whether card and panels lie alone and even on a plain bench: then the plain finder needs no help, and sampling no masks. */
import type { PointPx, QuadPx, Raster } from '../photo/types.ts';

/** Blocks across the longer side of the picture. */
const BLOCKS = 96;
/** Neighbouring blocks of a plain surface are no farther apart, in encoded steps of 255. */
const STEP = 8;
/** … in this share of all neighbours. Dust and a pencil line may lie on a bench. */
const PLAIN_SHARE = 0.995;
/** No block of an even panel is farther from its middle one; a lamp's reflection is. */
const EVEN = 26;

/** `cards` and `panels` are places in `raster`, best a small copy of a photo. */
export function isPlainBench(raster: Raster, cards: readonly QuadPx[], panels: readonly QuadPx[]): boolean {
  const blocks = blockMeans(raster);
  const covered = [...cards, ...panels].map((quad) => scaled(quad, 1.12));
  const bench = (x: number, y: number): boolean => {
    const at = blocks.centre(x, y);
    return !covered.some((quad) => holds(quad, at));
  };
  let pairs = 0;
  let plain = 0;
  for (let y = 0; y < blocks.rows; y++)
    for (let x = 0; x < blocks.columns; x++) {
      if (!bench(x, y)) continue;
      for (const [nx, ny] of [
        [x + 1, y],
        [x, y + 1],
      ] as const) {
        if (nx >= blocks.columns || ny >= blocks.rows || !bench(nx, ny)) continue;
        pairs++;
        if (Math.abs(blocks.mean(x, y) - blocks.mean(nx, ny)) <= STEP) plain++;
      }
    }
  return panels.length > 0 && plain >= PLAIN_SHARE * pairs && panels.every((quad) => isEven(blocks, quad));
}

interface Blocks {
  readonly columns: number;
  readonly rows: number;
  readonly mean: (x: number, y: number) => number;
  readonly centre: (x: number, y: number) => PointPx;
}

/** Mean encoded value of square blocks, 0–255. */
function blockMeans({ width_px, height_px, bits, data }: Raster): Blocks {
  const side = Math.max(1, Math.ceil(Math.max(width_px, height_px) / BLOCKS));
  const columns = Math.floor(width_px / side);
  const rows = Math.floor(height_px / side);
  const sums = new Float64Array(columns * rows);
  for (let y = 0; y < rows * side; y++) {
    const row = Math.floor(y / side) * columns;
    for (let x = 0; x < columns * side; x++) {
      const at = 3 * (y * width_px + x);
      sums[row + Math.floor(x / side)] += data[at] + data[at + 1] + data[at + 2];
    }
  }
  const whole = 3 * side * side * (bits === 16 ? 257 : 1);
  return {
    columns,
    rows,
    mean: (x, y) => sums[y * columns + x] / whole,
    centre: (x, y) => [(x + 0.5) * side, (y + 0.5) * side],
  };
}

function isEven(blocks: Blocks, quad: QuadPx): boolean {
  const inner = scaled(quad, 0.82);
  const inside: number[] = [];
  for (let y = 0; y < blocks.rows; y++)
    for (let x = 0; x < blocks.columns; x++)
      if (holds(inner, blocks.centre(x, y))) inside.push(blocks.mean(x, y));
  if (inside.length === 0) return false;
  inside.sort((a, b) => a - b);
  const middle = inside[inside.length >> 1];
  return inside[inside.length - 1] - middle <= EVEN && middle - inside[0] <= EVEN;
}

/** A quadrilateral grown or shrunk about its middle. */
function scaled(quad: QuadPx, by: number): QuadPx {
  const middle = [0, 1].map((axis) => quad.reduce((sum, p) => sum + p[axis] / 4, 0));
  return quad.map(([x, y]) => [
    middle[0] + by * (x - middle[0]),
    middle[1] + by * (y - middle[1]),
  ]) as unknown as QuadPx;
}

/** Whether a point lies in a convex quadrilateral, of either turn. */
function holds(quad: QuadPx, [px, py]: PointPx): boolean {
  let turn = 0;
  for (let i = 0; i < 4; i++) {
    const [ax, ay] = quad[i];
    const [bx, by] = quad[(i + 1) % 4];
    const cross = (bx - ax) * (py - ay) - (by - ay) * (px - ax);
    if (cross === 0) continue;
    if (turn === 0) turn = Math.sign(cross);
    else if (Math.sign(cross) !== turn) return false;
  }
  return true;
}
