import { applyHomography, fitHomography, type Homography } from '../homography.ts';
import { CODE_CELLS } from './codes.ts';
import { type Light, lightAt } from './light.ts';
import type { Corners } from './quads.ts';

/** Cells along a side of a tag with its black border. */
const TAG_CELLS = CODE_CELLS + 2;

/** What is printed inside a dark square, if it has a tag's dark border on bright ground. */
export interface ReadCells {
  /** 36 cells row by row from the first corner, 1 white. */
  readonly cells: Uint8Array;
  /** Of the 28 cells of the border, those that are not dark. */
  readonly wrongBorder: number;
}

const SQUARE = [0, 0, TAG_CELLS, 0, TAG_CELLS, TAG_CELLS, 0, TAG_CELLS] as const;
/** Border cells that may be hidden by dust or glare. */
const MOST_WRONG_BORDER = 4;
/** A cell this far from the darkest towards the ground's light is not plain dark. */
const PLAIN_SHARE = 0.3;
/** Least difference between white and black, linear light. */
const LEAST_CONTRAST = 0.008;

/**
 * Reads the cells of a tag. Black is a plane fitted to the tag's border and white one fitted to the quiet zone around
 * it, so that light which falls off across the tag does not matter. Undefined when that border is missing.
 */
export function readCells(light: Light, corners: Corners): ReadCells | undefined {
  const toPx = fitHomography(SQUARE, corners);
  const white = planeOf(light, toPx, 36, quietCell, 0.15);
  const black = planeOf(light, toPx, 28, borderCell, 0.22);
  if (!white || !black) return undefined;
  const centre = TAG_CELLS / 2;
  if (planeAt(white, centre, centre) - planeAt(black, centre, centre) < LEAST_CONTRAST) return undefined;
  const isWhite = (x: number, y: number): boolean =>
    cellLight(light, toPx, x, y, 0.22) > (planeAt(white, x, y) + planeAt(black, x, y)) / 2;
  let wrongBorder = 0;
  for (let i = 0; i < 28; i++) if (isWhite(...borderCell(i))) wrongBorder++;
  if (wrongBorder > MOST_WRONG_BORDER) return undefined;
  const cells = new Uint8Array(36);
  for (let row = 0; row < CODE_CELLS; row++)
    for (let column = 0; column < CODE_CELLS; column++)
      cells[row * CODE_CELLS + column] = isWhite(column + 1.5, row + 1.5) ? 1 : 0;
  return { cells, wrongBorder };
}

/**
 * Whether a dark square on bright ground is dark all over, as the patches of a card are: not one of its cells is
 * bright, where every code has ten that are. Tells at a fraction of the cost of reading.
 */
export function isPlain(light: Light, corners: Corners): boolean {
  const toPx = fitHomography(SQUARE, corners);
  const lightIn = (x: number, y: number): number => lightAt(light, ...applyHomography(toPx, x, y));
  let ground = 0;
  for (let i = 0; i < 36; i += 3) ground += lightIn(...quietCell(i)) / 12;
  let darkest = Number.POSITIVE_INFINITY;
  let brightest = 0;
  for (let y = 1.5; y < 7; y++)
    for (let x = 1.5; x < 7; x++) {
      const here = lightIn(x, y);
      if (here < darkest) darkest = here;
      if (here > brightest) brightest = here;
    }
  return ground - darkest >= LEAST_CONTRAST && brightest < darkest + PLAIN_SHARE * (ground - darkest);
}

/** Centre of the i-th of 28 cells of the black border. */
function borderCell(i: number): readonly [number, number] {
  return ringCell(i, 7, 0.5);
}

/** Place in the quiet zone, within half a cell of the border, beside the i-th of 36 cells around it. */
function quietCell(i: number): readonly [number, number] {
  const [x, y] = ringCell(i, 9, -0.5);
  return [Math.min(8.45, Math.max(-0.45, x)), Math.min(8.45, Math.max(-0.45, y))];
}

/** The i-th place along a square ring of 4 × n places that begins at (from, from). */
function ringCell(i: number, n: number, from: number): readonly [number, number] {
  const side = Math.floor(i / n);
  const along = from + (i % n);
  const end = from + n;
  if (side === 0) return [along, from];
  if (side === 1) return [end, along];
  if (side === 2) return [end - (i % n), end];
  return [from, end - (i % n)];
}

/** Mean light over the middle of a cell: nine places, `reach` cells to both sides. */
function cellLight(light: Light, toPx: Homography, x: number, y: number, reach: number): number {
  let sum = 0;
  for (let dy = -1; dy <= 1; dy++)
    for (let dx = -1; dx <= 1; dx++) {
      const [px, py] = applyHomography(toPx, x + reach * dx, y + reach * dy);
      sum += lightAt(light, px, py);
    }
  return sum / 9;
}

type Plane = readonly [atCentre: number, perX: number, perY: number];

function planeAt([atCentre, perX, perY]: Plane, x: number, y: number): number {
  return atCentre + perX * (x - TAG_CELLS / 2) + perY * (y - TAG_CELLS / 2);
}

/** Plane through the light of a ring of cells, refitted once without the third that fits it worst. */
function planeOf(
  light: Light,
  toPx: Homography,
  count: number,
  place: (i: number) => readonly [number, number],
  reach: number,
): Plane | undefined {
  const x = new Float64Array(count);
  const y = new Float64Array(count);
  const v = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    [x[i], y[i]] = place(i);
    v[i] = cellLight(light, toPx, x[i], y[i], reach);
  }
  const all = fitPlane(x, y, v, new Float64Array(count).fill(1));
  if (!all) return undefined;
  const residual = v.map((value, i) => Math.abs(value - planeAt(all, x[i], y[i])));
  const limit = residual.slice().sort()[Math.floor(count * 0.67)];
  return fitPlane(
    x,
    y,
    v,
    residual.map((r) => (r <= limit ? 1 : 0)),
  );
}

function fitPlane(
  x: Float64Array,
  y: Float64Array,
  v: Float64Array,
  weight: Float64Array,
): Plane | undefined {
  const c = TAG_CELLS / 2;
  let n = 0;
  let sx = 0;
  let sy = 0;
  let sv = 0;
  for (let i = 0; i < x.length; i++) {
    n += weight[i];
    sx += weight[i] * (x[i] - c);
    sy += weight[i] * (y[i] - c);
    sv += weight[i] * v[i];
  }
  const mx = sx / n;
  const my = sy / n;
  const mv = sv / n;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  let xv = 0;
  let yv = 0;
  for (let i = 0; i < x.length; i++) {
    const dx = x[i] - c - mx;
    const dy = y[i] - c - my;
    xx += weight[i] * dx * dx;
    xy += weight[i] * dx * dy;
    yy += weight[i] * dy * dy;
    xv += weight[i] * dx * (v[i] - mv);
    yv += weight[i] * dy * (v[i] - mv);
  }
  const det = xx * yy - xy * xy;
  if (!(det > 1e-9)) return undefined;
  const perX = (yy * xv - xy * yv) / det;
  const perY = (xx * yv - xy * xv) / det;
  return [mv - perX * mx - perY * my, perX, perY];
}
