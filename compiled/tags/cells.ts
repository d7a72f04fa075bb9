/** What is printed inside a dark square: what for stands in `src/core/card/find/cells.ts`. */
import { at, behind, put, sort } from '../numbers';
import { lightAt } from './light';

/** Cells along a side of a tag's code; with its black border there are eight, which these are the middle of. */
const CODE_CELLS: i32 = 6;
const CENTRE: f64 = 4;
/** Cells of the border, and places looked at in the quiet zone around it. */
const BORDER: i32 = 28;
const QUIET: i32 = 36;
/** Border cells that may be hidden by dust or glare. */
const MOST_WRONG_BORDER: i32 = 4;
/** A cell this far from the darkest towards the ground's light is not plain dark. */
const PLAIN_SHARE: f64 = 0.3;
/** Least difference between white and black, linear light. */
const LEAST_CONTRAST: f64 = 0.008;
/** How far to both sides of its middle a cell is read, cells: of the quiet zone, of which little may show, and of others. */
const QUIET_REACH: f64 = 0.15;
const REACH: f64 = 0.22;

/** Takes cells to the photo, 3 × 3. */
let toPx: usize = 0;

// one number a place of a ring

let xs: usize = 0;
let ys: usize = 0;
let lights: usize = 0;
let residuals: usize = 0;
let sorted: usize = 0;

// where a place of a ring is, cells

let ringX: f64 = 0;
let ringY: f64 = 0;

/** Bytes that reading a tag works with. */
export function cellBytes(): i32 {
  return 8 * (5 * QUIET + 6);
}

/**
 * Reads the 36 cells of a tag to `cells`, row by row, 1 white. Black is a plane fitted to the tag's border and white one fitted to the
 * quiet zone around it. Hands back how many cells of the border are not dark; −1 where there is no such border.
 */
export function readCells(matrix: usize, cells: usize, work: usize): i32 {
  toPx = matrix;
  xs = work;
  ys = behind(xs, QUIET);
  lights = behind(ys, QUIET);
  residuals = behind(lights, QUIET);
  sorted = behind(residuals, QUIET);
  const white = behind(sorted, QUIET);
  const black = behind(white, 3);
  if (!fitRing(QUIET, QUIET_REACH, white)) return -1;
  if (!fitRing(BORDER, REACH, black)) return -1;
  if (planeAt(white, CENTRE, CENTRE) - planeAt(black, CENTRE, CENTRE) < LEAST_CONTRAST) return -1;
  let wrongBorder = 0;
  for (let i = 0; i < BORDER; i++) {
    borderCell(i);
    if (isWhite(white, black, ringX, ringY)) wrongBorder++;
  }
  if (wrongBorder > MOST_WRONG_BORDER) return -1;
  for (let row = 0; row < CODE_CELLS; row++)
    for (let column = 0; column < CODE_CELLS; column++)
      store<u8>(
        cells + row * CODE_CELLS + column,
        isWhite(white, black, <f64>column + 1.5, <f64>row + 1.5) ? 1 : 0,
      );
  return wrongBorder;
}

/** Whether not one of a square's cells is bright against the ground around it. */
export function isPlain(matrix: usize): bool {
  toPx = matrix;
  let ground: f64 = 0;
  for (let i = 0; i < QUIET; i += 3) {
    quietCell(i);
    ground += lightIn(ringX, ringY) / 12;
  }
  let darkest = Infinity;
  let brightest: f64 = 0;
  for (let y = 1.5; y < 7; y++)
    for (let x = 1.5; x < 7; x++) {
      const here = lightIn(x, y);
      if (here < darkest) darkest = here;
      if (here > brightest) brightest = here;
    }
  return ground - darkest >= LEAST_CONTRAST && brightest < darkest + PLAIN_SHARE * (ground - darkest);
}

function lightIn(x: f64, y: f64): f64 {
  const w = at(toPx, 6) * x + at(toPx, 7) * y + at(toPx, 8);
  return lightAt(
    (at(toPx, 0) * x + at(toPx, 1) * y + at(toPx, 2)) / w,
    (at(toPx, 3) * x + at(toPx, 4) * y + at(toPx, 5)) / w,
  );
}

/** Mean light over the middle of a cell: nine places, `reach` cells to both sides. */
function cellLight(x: f64, y: f64, reach: f64): f64 {
  let sum: f64 = 0;
  for (let dy = -1; dy <= 1; dy++)
    for (let dx = -1; dx <= 1; dx++) sum += lightIn(x + reach * <f64>dx, y + reach * <f64>dy);
  return sum / 9;
}

function isWhite(white: usize, black: usize, x: f64, y: f64): bool {
  return cellLight(x, y, REACH) > (planeAt(white, x, y) + planeAt(black, x, y)) / 2;
}

/** Centre of the i-th of 28 cells of the black border. */
function borderCell(i: i32): void {
  ringCell(i, 7, 0.5);
}

/** Place in the quiet zone, within half a cell of the border, beside the i-th of 36 cells around it. */
function quietCell(i: i32): void {
  ringCell(i, 9, -0.5);
  ringX = min(8.45, max(-0.45, ringX));
  ringY = min(8.45, max(-0.45, ringY));
}

/** The i-th place along a square ring of 4 × n places that begins at (from, from). */
function ringCell(i: i32, n: i32, from: f64): void {
  const side = i / n;
  const along = <f64>(i % n);
  const end = from + <f64>n;
  if (side === 0) {
    ringX = from + along;
    ringY = from;
  } else if (side === 1) {
    ringX = end;
    ringY = from + along;
  } else if (side === 2) {
    ringX = end - along;
    ringY = end;
  } else {
    ringX = from;
    ringY = end - along;
  }
}

// a plane: light at the tag's centre, and per cell to the right and down

function planeAt(plane: usize, x: f64, y: f64): f64 {
  return at(plane, 0) + at(plane, 1) * (x - CENTRE) + at(plane, 2) * (y - CENTRE);
}

/** Plane through the light of a ring of cells, refitted once without the third that fits it worst. */
function fitRing(count: i32, reach: f64, plane: usize): bool {
  for (let i = 0; i < count; i++) {
    if (count === QUIET) quietCell(i);
    else borderCell(i);
    put(xs, i, ringX);
    put(ys, i, ringY);
    put(lights, i, cellLight(ringX, ringY, reach));
  }
  if (!fitPlane(count, Infinity, plane)) return false;
  for (let i = 0; i < count; i++)
    put(residuals, i, abs(at(lights, i) - planeAt(plane, at(xs, i), at(ys, i))));
  memory.copy(sorted, residuals, 8 * count);
  sort(sorted, count);
  return fitPlane(count, at(sorted, <i32>(<f64>count * 0.67)), plane);
}

/** Plane through the places that lie within `limit` of the one before; through all for an infinite one. */
function fitPlane(count: i32, limit: f64, plane: usize): bool {
  const all = limit === Infinity;
  let n: f64 = 0;
  let sx: f64 = 0;
  let sy: f64 = 0;
  let sv: f64 = 0;
  for (let i = 0; i < count; i++) {
    if (!all && !(at(residuals, i) <= limit)) continue;
    n++;
    sx += at(xs, i) - CENTRE;
    sy += at(ys, i) - CENTRE;
    sv += at(lights, i);
  }
  const mx = sx / n;
  const my = sy / n;
  const mv = sv / n;
  let xx: f64 = 0;
  let xy: f64 = 0;
  let yy: f64 = 0;
  let xv: f64 = 0;
  let yv: f64 = 0;
  for (let i = 0; i < count; i++) {
    if (!all && !(at(residuals, i) <= limit)) continue;
    const dx = at(xs, i) - CENTRE - mx;
    const dy = at(ys, i) - CENTRE - my;
    xx += dx * dx;
    xy += dx * dy;
    yy += dy * dy;
    xv += dx * (at(lights, i) - mv);
    yv += dy * (at(lights, i) - mv);
  }
  const det = xx * yy - xy * xy;
  if (!(det > 1e-9)) return false;
  const perX = (yy * xv - xy * yv) / det;
  const perY = (xx * yv - xy * xv) / det;
  put(plane, 0, mv - perX * mx - perY * my);
  put(plane, 1, perX);
  put(plane, 2, perY);
  return true;
}
