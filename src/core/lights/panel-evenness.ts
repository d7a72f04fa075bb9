/** The evenness map of a panel in a photo, through the photo's own correction. */
import type { Lab } from '../color/index.ts';
import { plainLab } from '../correction/index.ts';
import type { ReadPhoto } from '../measure/index.ts';
import { type EvennessMap, evennessMap } from '../panel/texture/index.ts';
import { innerQuad, quadSides } from '../photo/polygon.ts';
import { visitPixels } from '../photo/sample-pixels.ts';
import type { PointMm, PointPx, QuadPx, Raster, Reading } from '../photo/types.ts';

type Sighted = NonNullable<ReadPhoto['places'][number]['sampled']>['sighted'];

/** Cells along each side of the map, about how many pixels are read for all, and the rim left out. */
const CELLS = 24;
const CELL_PIXELS = 120_000;
const MARGIN = 0.05;
/** Pixels a cell needs. */
const FEWEST = 12;
/** Light this far from the panel's middle cell (relative, and in scatters of the cells) is glare, dirt or a shadow. */
const NOT_THE_PANEL = 0.25;
const SCATTERS = 5;
/** A rim of glare or a hole fades over so many cells at most, by more than so many scatters. */
const FADES_OVER = 3;
const FADING = 2.5;
/** Added before taking logarithms: channels that read next to nothing say next to nothing. */
const DARKEST = 0.004;

/** Undefined where glare or dirt hides too much of the panel. */
export function panelEvenness(
  raster: Raster,
  corners_px: QuadPx,
  read: ReadPhoto,
  sighted: Sighted,
): EvennessMap | undefined {
  const inner = innerQuad(corners_px, MARGIN);
  const cells = withoutStrange(cellsOf(raster, inner));
  const labOf = labNear(read, sighted);
  const labs = cells.map((cell) => cell && labOf(cell.linear, read.card.toMm(cell.centre_px)));
  return evennessMap(labs, CELLS, CELLS, quadSides(inner.map(read.card.toMm)));
}

interface Cell {
  readonly linear: Reading['linear'];
  readonly centre_px: PointPx;
}

/** Mean light of each cell, row by row; undefined with too few pixels that are not clipped. */
function cellsOf(raster: Raster, quad: QuadPx): (Cell | undefined)[] {
  const { workspace, count } = visitPixels(raster, quad, CELL_PIXELS);
  const { x, y, u, v, root, clipped } = workspace;
  const sums = Array.from({ length: CELLS * CELLS }, () => new Float64Array(6));
  const cellAt = (w: number): number => Math.min(CELLS - 1, Math.max(0, Math.floor((w + 0.5) * CELLS)));
  for (let i = 0; i < count; i++) {
    if (clipped[i] & 0b111) continue;
    const sum = sums[cellAt(v[i]) * CELLS + cellAt(u[i])];
    for (let c = 0; c < 3; c++) sum[c] += (root[c][i] / 100) ** 3;
    sum[3] += x[i] + 0.5;
    sum[4] += y[i] + 0.5;
    sum[5]++;
  }
  return sums.map((s) =>
    s[5] < FEWEST
      ? undefined
      : {
          linear: [s[0] / s[5], s[1] / s[5], s[2] / s[5]],
          centre_px: [s[3] / s[5], s[4] / s[5]],
        },
  );
}

/**
 * Only what is far from all else is left out: a finer rule would take stripes for glare. With it goes what touches it, as
 * a hole or a mirrored lamp covers its neighbours in part, and fades out.
 */
function withoutStrange(cells: readonly (Cell | undefined)[]): (Cell | undefined)[] {
  const light = cells.map(
    (cell) => cell && Math.log(DARKEST + (cell.linear[0] + cell.linear[1] + cell.linear[2]) / 3),
  );
  const middleOf = (v: readonly number[]): number => [...v].sort((a, b) => a - b)[v.length >> 1] ?? 0;
  const known = light.filter((v) => v !== undefined);
  const middle = middleOf(known);
  const scatter = 1.48 * middleOf(known.map((v) => Math.abs(v - middle)));
  const limit = Math.max(NOT_THE_PANEL, SCATTERS * scatter);
  const off = light.map((v) => (v === undefined ? Number.POSITIVE_INFINITY : Math.abs(v - middle)));
  const strange = off.map((v) => v > limit);
  // a single cell is a speck or a flake, and ends where it ends
  let spreads = strange.map((is, i) => is && touches(strange, i));
  for (let ring = 0; ring < FADES_OVER; ring++)
    spreads = spreads.map((is, i) => is || (off[i] > FADING * scatter && touches(spreads, i)));
  return cells.map((cell, i) => (strange[i] || spreads[i] || touches(spreads, i) ? undefined : cell));
}

/** True when one of the eight cells around is marked; the cell itself does not count. */
function touches(marked: readonly boolean[], i: number): boolean {
  const [x, y] = [i % CELLS, Math.floor(i / CELLS)];
  for (let v = Math.max(0, y - 1); v <= Math.min(CELLS - 1, y + 1); v++)
    for (let u = Math.max(0, x - 1); u <= Math.min(CELLS - 1, x + 1); u++)
      if (v * CELLS + u !== i && marked[v * CELLS + u]) return true;
  return false;
}

/**
 * Lab of a panel's cells: they differ little from its mean, so the correction is taken as straight about it, in the
 * logarithm of light and in place. Six corrections in place of hundreds.
 */
function labNear(
  { card: { correction } }: ReadPhoto,
  { reading, at_mm }: Sighted,
): (linear: Reading['linear'], at: PointMm) => Lab {
  const [light_step, place_step] = [0.04, 4];
  const grown = (v: number): number => (v + DARKEST) * Math.exp(light_step) - DARKEST;
  const at = (linear: Reading['linear'], place: PointMm): Lab =>
    plainLab(correction, { ...reading, linear }, place);
  const middle = at(reading.linear, at_mm);
  const slope = (moved: Lab, step: number): Lab =>
    moved.map((v, k) => (v - middle[k]) / step) as unknown as Lab;
  const byLight = [0, 1, 2].map((c) =>
    slope(
      at(reading.linear.map((v, k) => (k === c ? grown(v) : v)) as unknown as Reading['linear'], at_mm),
      light_step,
    ),
  );
  const byPlace = [0, 1].map((d) =>
    slope(
      at(reading.linear, at_mm.map((v, k) => (k === d ? v + place_step : v)) as unknown as PointMm),
      place_step,
    ),
  );
  return (linear, place) => {
    const moves = [
      ...linear.map((v, c) => Math.log((v + DARKEST) / (reading.linear[c] + DARKEST))),
      place[0] - at_mm[0],
      place[1] - at_mm[1],
    ];
    const slopes = [...byLight, ...byPlace];
    return middle.map((v, k) => v + moves.reduce((s, m, i) => s + m * slopes[i][k], 0)) as unknown as Lab;
  };
}
