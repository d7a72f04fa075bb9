/** How even a panel is over its area: a map of colour differences to its mean, and what kind of unevenness it shows. */
import { deltaE2000, type Lab } from '../../color/index.ts';

export interface EvennessMap {
  readonly columns: number;
  readonly rows: number;
  /** Lab of each cell, row by row. */
  readonly labs: readonly Lab[];
  /** ΔE2000 of each cell to the mean of all. */
  readonly de00: readonly number[];
  readonly mean_de00: number;
  readonly max_de00: number;
  /** Standard deviation of what runs in straight bands across or along, ΔE; overlap of the fan's passes. */
  readonly stripes_de00: number;
  readonly stripes_along: 'rows' | 'columns' | undefined;
  /** Standard deviation of what is left when bands and a tilt are taken off, ΔE: mottling, and the photo's noise in a cell. */
  readonly mottling_de00: number;
  /** How far the outermost cells lie from the inner ones on average, ΔE. */
  readonly edges_de00: number;
}

/** A band must be this many times what chance would make of the scatter. */
const SURE = 3.2;

/** The map of a grid of cell colours. Throws RangeError when the grid has fewer than 4 × 4 cells. */
export function evennessMap(labs: readonly Lab[], columns: number, rows: number): EvennessMap {
  if (columns < 4 || rows < 4 || labs.length !== columns * rows)
    throw new RangeError('an evenness map needs 4 × 4 cells or more');
  const mean = meanOf(labs);
  const de00 = labs.map((lab) => deltaE2000(lab, mean));
  // ΔE of small differences, with their sign, along the direction in which the panel varies most: lightness
  const lightness = labs.map((lab) => lab[0] - mean[0]);
  const flat = withoutTilt(lightness, columns, rows);
  const byRow = Array.from({ length: rows }, (_, y) => average(flat.slice(y * columns, (y + 1) * columns)));
  const byColumn = Array.from({ length: columns }, (_, x) =>
    average(Array.from({ length: rows }, (_, y) => flat[y * columns + x])),
  );
  const scale = deltaE2000([mean[0] + 0.5, mean[1], mean[2]], [mean[0] - 0.5, mean[1], mean[2]]);
  const left = flat.map((v, i) => v - byRow[Math.floor(i / columns)] - byColumn[i % columns]);
  const scatter = deviation(left);
  const rowsStand = deviation(byRow) / Math.max(scatter / Math.sqrt(columns), 1e-6);
  const columnsStand = deviation(byColumn) / Math.max(scatter / Math.sqrt(rows), 1e-6);
  const along =
    Math.max(rowsStand, columnsStand) < SURE ? undefined : rowsStand >= columnsStand ? 'rows' : 'columns';
  const edge = labs.filter((_, i) => isEdge(i, columns, rows));
  const inner = labs.filter((_, i) => !isEdge(i, columns, rows));
  return {
    columns,
    rows,
    labs,
    de00,
    mean_de00: average(de00),
    max_de00: Math.max(...de00),
    stripes_de00: along === undefined ? 0 : scale * deviation(along === 'rows' ? byRow : byColumn),
    stripes_along: along,
    mottling_de00: scale * scatter,
    edges_de00: deltaE2000(meanOf(edge), meanOf(inner)),
  };
}

const average = (v: readonly number[]): number => v.reduce((a, b) => a + b, 0) / v.length;
const deviation = (v: readonly number[]): number => {
  const m = average(v);
  return Math.sqrt(average(v.map((x) => (x - m) ** 2)));
};
const isEdge = (i: number, columns: number, rows: number): boolean => {
  const [x, y] = [i % columns, Math.floor(i / columns)];
  return x === 0 || y === 0 || x === columns - 1 || y === rows - 1;
};

function meanOf(labs: readonly Lab[]): Lab {
  return [0, 1, 2].map((k) => average(labs.map((lab) => lab[k]))) as unknown as Lab;
}

/** A plane taken off: light that falls off across the panel. */
function withoutTilt(v: readonly number[], columns: number, rows: number): number[] {
  const [mx, my] = [(columns - 1) / 2, (rows - 1) / 2];
  let [xx, yy, xv, yv] = [0, 0, 0, 0];
  v.forEach((value, i) => {
    const [x, y] = [(i % columns) - mx, Math.floor(i / columns) - my];
    xx += x * x;
    yy += y * y;
    xv += x * value;
    yv += y * value;
  });
  return v.map(
    (value, i) => value - (xv / xx) * ((i % columns) - mx) - (yv / yy) * (Math.floor(i / columns) - my),
  );
}
