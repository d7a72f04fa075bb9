/** How even a panel is over its area: a map of colour differences to its mean, and what kind of unevenness it shows. */
import { deltaE2000, type Lab } from '../../color/index.ts';
import { type Stripes, stripesIn } from './stripes.ts';

export type { Stripes } from './stripes.ts';

export type EvennessKind = 'even' | 'stripes' | 'mottled' | 'edges';

export interface EvennessMap {
  readonly columns: number;
  readonly rows: number;
  /** What the cells cover, mm. */
  readonly size_mm: readonly [width: number, height: number];
  /** ΔE2000 of each place to the mean of all, row by row; a place is a cell with its neighbours, so that flakes do not count. */
  readonly de00: readonly (number | undefined)[];
  /** ΔL* to the mean: places lighter than it have a positive one. */
  readonly lighter: readonly (number | undefined)[];
  readonly mean_de00: number;
  /** What 95 of 100 places stay under. */
  readonly p95_de00: number;
  /** Straight bands that repeat: overlap of the fan's passes. */
  readonly stripes: Stripes | undefined;
  /** Standard deviation of clouds wider than a cell, ΔE: without light that falls off, stripes, and single cells' noise. */
  readonly mottling_de00: number;
  /** How far the rim lies from the inner part, ΔE; positive where the rim is lighter. */
  readonly edges_de00: number;
  /** What stands out most. */
  readonly kind: EvennessKind;
}

/** From where clouds and a rim are worth a word, ΔE. Common practice, no source: half of what is seen side by side. */
const MOTTLED = 0.4;
const RIM = 0.6;
/** Share of cells that must have been read. */
const ENOUGH = 0.7;

/**
 * The map of a grid of cell colours; undefined where too many are hidden. Throws RangeError when the grid has fewer than
 * 8 × 8 cells.
 */
export function evennessMap(
  labs: readonly (Lab | undefined)[],
  columns: number,
  rows: number,
  size_mm: readonly [number, number],
): EvennessMap | undefined {
  if (columns < 8 || rows < 8 || labs.length !== columns * rows)
    throw new RangeError('an evenness map needs 8 × 8 cells or more');
  const seen = labs.filter((lab) => lab !== undefined);
  if (seen.length < ENOUGH * labs.length) return undefined;
  const mean = meanOf(seen);
  const places = smoothed(labs, columns, rows);
  const de00 = places.map((lab) => lab && deltaE2000(lab, mean));
  const known = de00.filter((v) => v !== undefined).sort((a, b) => a - b);
  // ΔE2000 of one step on each axis here: small differences are then plain distances
  const steps = [0, 1, 2].map((k) =>
    deltaE2000(mean.map((v, i) => (i === k ? v + 1 : v)) as unknown as Lab, mean),
  );
  const axesOf = (cells: readonly (Lab | undefined)[], across: number, down: number): number[][] =>
    steps.map((step, k) =>
      withoutFallOff(
        cells.map((lab) => (lab ? step * (lab[k] - mean[k]) : 0)),
        across,
        down,
      ),
    );
  const axes = axesOf(labs, columns, rows);
  // a rim would pass for the first and the last stripe
  const inside = [columns - 2 * RINGS, rows - 2 * RINGS] as const;
  const stripes = stripesIn(
    axesOf(
      labs.filter((_, i) => !isRim(i, columns, rows)),
      ...inside,
    ),
    ...inside,
    [(size_mm[0] * inside[0]) / columns, (size_mm[1] * inside[1]) / rows],
  );
  const mottling_de00 = cloudsIn(axes, columns, rows, stripes);
  const rim = rimStep(axes, labs, (i) => isRim(i, columns, rows));
  const kind = kindOf(stripes, mottling_de00, rim);
  return {
    columns,
    rows,
    size_mm,
    de00,
    lighter: places.map((lab) => lab && lab[0] - mean[0]),
    mean_de00: average(known),
    p95_de00: known[Math.floor(0.95 * (known.length - 1))],
    stripes,
    mottling_de00,
    edges_de00: rim,
    kind,
  };
}

function kindOf(stripes: Stripes | undefined, mottling: number, rim: number): EvennessKind {
  const stands = [
    ['stripes', stripes ? 1 + stripes.de00 : 0],
    ['mottled', mottling / MOTTLED],
    ['edges', Math.abs(rim) / RIM],
  ] as const;
  const most = stands.reduce((a, b) => (b[1] > a[1] ? b : a));
  return most[1] >= 1 ? most[0] : 'even';
}

const average = (v: readonly number[]): number => v.reduce((a, b) => a + b, 0) / Math.max(1, v.length);

function meanOf(labs: readonly Lab[]): Lab {
  return [0, 1, 2].map((k) => average(labs.map((lab) => lab[k]))) as unknown as Lab;
}

/** Each cell with the eight around it. */
function smoothed(
  labs: readonly (Lab | undefined)[],
  columns: number,
  rows: number,
): readonly (Lab | undefined)[] {
  return labs.map((lab, i) => {
    if (!lab) return undefined;
    const [x, y] = [i % columns, Math.floor(i / columns)];
    const around: Lab[] = [];
    for (let v = Math.max(0, y - 1); v <= Math.min(rows - 1, y + 1); v++)
      for (let u = Math.max(0, x - 1); u <= Math.min(columns - 1, x + 1); u++) {
        const there = labs[v * columns + u];
        if (there) around.push(there);
      }
    return meanOf(around);
  });
}

/** Rings of cells that make up the rim. */
const RINGS = 2;

function isRim(i: number, columns: number, rows: number): boolean {
  const [x, y] = [i % columns, Math.floor(i / columns)];
  return Math.min(x, y, columns - 1 - x, rows - 1 - y) < RINGS;
}

function rimStep(
  axes: readonly (readonly number[])[],
  labs: readonly (Lab | undefined)[],
  inRim: (i: number) => boolean,
): number {
  const [l, a, b] = axes.map((v) => {
    const mean = (rim: boolean): number => average(v.filter((_, i) => inRim(i) === rim && labs[i]));
    return mean(true) - mean(false);
  });
  return Math.sign(l || 1) * Math.hypot(l, a, b);
}

/**
 * Clouds: neighbours two cells apart share them and share no noise, so that their covariance is the clouds' variance.
 * Where stripes run, only neighbours along a stripe are compared, each line's mean taken off.
 */
function cloudsIn(
  axes: readonly (readonly number[])[],
  columns: number,
  rows: number,
  stripes: Stripes | undefined,
): number {
  const covariance = (v: readonly number[]): number => {
    const flat = stripes ? withoutLines(v, columns, rows, stripes.across) : v;
    let [sum, n] = [0, 0];
    for (let y = 2; y < rows - 2; y++)
      for (let x = 2; x < columns - 2; x++) {
        const i = y * columns + x;
        if (stripes?.across !== 'rows') {
          sum += flat[i] * flat[i - 2 * columns];
          n++;
        }
        if (stripes?.across !== 'columns') {
          sum += flat[i] * flat[i - 2];
          n++;
        }
      }
    return sum / n;
  };
  return Math.sqrt(
    Math.max(
      0,
      axes.reduce((s, v) => s + covariance(v), 0),
    ),
  );
}

function withoutLines(
  v: readonly number[],
  columns: number,
  rows: number,
  across: Stripes['across'],
): readonly number[] {
  const lineOf = (i: number): number => (across === 'rows' ? Math.floor(i / columns) : i % columns);
  const lines = across === 'rows' ? rows : columns;
  const means = Array.from({ length: lines }, (_, l) => average(v.filter((_, i) => lineOf(i) === l)));
  return v.map((value, i) => value - means[lineOf(i)]);
}

/** A gentle bend along each side taken off: light that falls off across the panel. Least squares on products of x and y. */
function withoutFallOff(v: readonly number[], columns: number, rows: number): number[] {
  const at = (i: number): readonly [number, number] => [
    (2 * (i % columns)) / (columns - 1) - 1,
    (2 * Math.floor(i / columns)) / (rows - 1) - 1,
  ];
  // Legendre polynomials up to the second degree: nearly orthogonal on a full grid, so two rounds settle them
  const shapes = [
    () => 1,
    (x: number) => x,
    (_: number, y: number) => y,
    (x: number, y: number) => x * y,
    (x: number) => 1.5 * x * x - 0.5,
    (_: number, y: number) => 1.5 * y * y - 0.5,
  ];
  let left = [...v];
  for (let round = 0; round < 3; round++)
    for (const shape of shapes) {
      const values = left.map((_, i) => shape(...at(i)));
      const share = values.reduce((s, w, i) => s + w * left[i], 0) / values.reduce((s, w) => s + w * w, 0);
      left = left.map((value, i) => value - share * values[i]);
    }
  return left;
}
