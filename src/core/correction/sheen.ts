/**
 * Sheen on the card: light that its surface mirrors softly, more of it at one end than at the other. It lifts a dark patch by
 * as much as a light one, so greys and whites all around the card tell how it grows; a panel beside the card has none of it.
 * Strips that lie beside it are of its paper, too small to tell, and may have as much.
 */
import { GRID, type Viewing } from '../color/index.ts';
import { innerProduct, solveLower } from '../math/linear.ts';
import type { Fit } from './fit-model.ts';
import type { PrintedPatch } from './known-prints.ts';
import { inThisLight } from './printed-patches.ts';
import type { PatchReading } from './types.ts';

/** Mean of a sheet's sheen, as reflectance, and its standard deviation. */
export interface Sheen {
  readonly mean: number;
  readonly sd: number;
}

/** Standard deviation of its growth over the card's width or height, as reflectance; common practice, no source. */
const GROWTH = 0.01;
/** How often a photo's card has any that grows, before the photo is seen; common practice, no source. */
const HOW_OFTEN = 0.2;
/** The clearest corner may have some too: how far what is taken for the mean may be off, as a share of it. */
const DOUBT = 0.4;
/** A mean that moves dark panels by less than .1 L*, as reflectance, is not worth a second look. */
const LEAST = 0.0003;

/** L* from which on a grey counts as light, and up to which as dark; and how many of each a card needs to tell sheen by. */
const LIGHT = 80;
const DARK = 70;
const FEWEST = 4;

/** What a photo shows of sheen, sheet by sheet; none where nothing is told. */
export type SheenBySheet = ReadonlyMap<number, Sheen>;

/** Patches as they look under sheen, and the sheets of whose sheen its growth is open: the fit's last unknowns, two a sheet. */
export interface UnderSheen {
  readonly patches: readonly PrintedPatch[];
  readonly growing: readonly number[];
}

/** Patches of a photo as they look under sheen, with what is open of it: its growth, and, once any was told, how much there is. */
export function underSheen(
  patches: readonly PrintedPatch[],
  read: readonly PatchReading[],
  size_mm: readonly [number, number],
  told: SheenBySheet,
  under: Viewing,
): UnderSheen {
  const sheets = [...new Set(read.map((p) => p.sheet))];
  const growing = sheets.filter((sheet) => tellsSheen(patches.filter((_, i) => read[i].sheet === sheet)));
  if (growing.length === 0) return { patches, growing };
  const levels = new Map(sheets.map((sheet) => [sheet, told.get(sheet) ?? besideSheen(sheet, told)]));
  const open = sheets.filter((sheet) => levels.get(sheet)!.sd > 0);
  const middles = growing.map((sheet) => middleOf(read.filter((p) => p.sheet === sheet)));
  const lit = patches.map((patch, i) => {
    const { at_mm, sheet } = read[i];
    const ways = [
      ...open.map((has) => (has === sheet ? levels.get(has)!.sd : 0)),
      ...growing.flatMap((grows, g) =>
        [0, 1].map((axis) =>
          grows === sheet ? (GROWTH * (at_mm[axis] - middles[g][axis])) / size_mm[axis] : 0,
        ),
      ),
    ].map((level) => new Float64Array(GRID.count).fill(level));
    const opened = {
      ...patch,
      sharedModes: [...patch.sharedModes, ...ways],
      ofPhoto: (patch.ofPhoto ?? 0) + ways.length,
    };
    const { mean } = levels.get(sheet)!;
    return mean === 0
      ? opened
      : inThisLight(
          opened,
          patch.reflectance.map((v) => v + mean),
          under,
        );
  });
  return { patches: lit, growing };
}

/**
 * Sheen is told by how dark greys and light ones change beside each other: a chart with one row of greys would make it up, and a
 * strip of greys alone is needed for how light falls.
 */
function tellsSheen(patches: readonly PrintedPatch[]): boolean {
  const greys = patches.filter((p) => p.neutral);
  if (greys.length === patches.length) return false;
  const light = greys.filter((p) => p.lab[0] > LIGHT);
  const dark = greys.filter((p) => p.lab[0] < DARK);
  return light.length >= FEWEST && dark.length >= FEWEST;
}

/** What a sheet that tells of no growth may have: beside one that does, as much as that all over, or none. */
function besideSheen(sheet: number, told: SheenBySheet): Sheen {
  const [most] = [...told.values()].sort((a, b) => b.mean - a.mean);
  return sheet === 0 || !most ? { mean: 0, sd: 0 } : { mean: most.mean, sd: Math.hypot(most.mean, most.sd) };
}

/** Middle of a sheet's patches, mm. */
function middleOf(read: readonly PatchReading[]): readonly number[] {
  return [0, 1].map((axis) => {
    const along = read.map(({ at_mm }) => at_mm[axis]);
    return (Math.min(...along) + Math.max(...along)) / 2;
  });
}

/**
 * The sheen that a fit with open growth tells of, none of it at a sheet's clearest corner, and as much of it as growth is likelier
 * than none.
 */
export function sheenTold(fit: Fit, growing: readonly number[]): SheenBySheet {
  const first = fit.layout.size - 2 * growing.length;
  return new Map(
    growing.flatMap((sheet, g) => {
      const at = first + 2 * g;
      const mean = 0.5 * GROWTH * (Math.abs(fit.theta[at]) + Math.abs(fit.theta[at + 1]));
      const share = likelihoodOfGrowth(fit, at);
      const sd = mean * Math.sqrt(share * (DOUBT ** 2 + 1 - share));
      return share * mean < LEAST ? [] : [[sheet, { mean: share * mean, sd }]];
    }),
  );
}

/**
 * How likely it is that a sheet's sheen grows at all, by how much less likely the two unknowns of its growth are to be none than
 * they were before the photo was seen (Dickey 1971).
 */
function likelihoodOfGrowth({ hessian, theta, layout: { size } }: Fit, at: number): number {
  const [x, y] = [at, at + 1].map((k) => {
    const unit = new Float64Array(size);
    unit[k] = 1;
    return solveLower(hessian, size, unit);
  });
  const [xx, xy, yy] = [
    innerProduct(x, 0, x, 0, size),
    innerProduct(x, 0, y, 0, size),
    innerProduct(y, 0, y, 0, size),
  ];
  const spread = xx * yy - xy * xy;
  const [p, q] = [theta[at], theta[at + 1]];
  const sureness = (yy * p * p - 2 * xy * p * q + xx * q * q) / spread;
  const odds = Math.exp(0.5 * sureness) * Math.sqrt(spread) * (HOW_OFTEN / (1 - HOW_OFTEN));
  return Number.isFinite(odds) ? odds / (1 + odds) : 1;
}
