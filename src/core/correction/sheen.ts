/**
 * Sheen on the card: light that its surface mirrors softly, more of it at one end than at the other. It lifts a dark patch by
 * as much as a light one, so greys and whites all around the card tell how it grows; a panel beside the card has none of it.
 */
import { GRID, type Viewing } from '../color/index.ts';
import { solveLower } from '../math/linear.ts';
import type { PointMm } from '../photo/types.ts';
import type { Fit } from './fit-model.ts';
import type { PrintedPatch } from './known-prints.ts';
import { inThisLight } from './printed-patches.ts';

/** Standard deviation of its growth over the card's width or height, as reflectance; common practice, no source. */
const GROWTH = 0.01;
/** Standard deviations by which growth must be told, and least of it, before the card is taken to have sheen all over. */
const SURE = 3;
const LEAST = 0.003;
/** The clearest corner may have some too: how far what is taken for the mean may be off, as a share of it. */
const DOUBT = 0.4;

/** L* from which on a grey counts as light, and up to which as dark; and how many of each a card needs to tell sheen by. */
const LIGHT = 80;
const DARK = 70;
const FEWEST = 4;

/** Sheen is told by how dark greys and light ones change beside each other; a chart with one row of greys would make it up. */
function tellsSheen(patches: readonly PrintedPatch[], onCard: readonly boolean[]): boolean {
  const greys = patches.filter((p, i) => p.neutral && onCard[i]);
  const light = greys.filter((p) => p.lab[0] > LIGHT);
  const dark = greys.filter((p) => p.lab[0] < DARK);
  return light.length >= FEWEST && dark.length >= FEWEST;
}

/** Patches of a photo as they look under sheen of that mean (reflectance, in the middle of the card), with what is open of its growth; those beside the card stay. */
export function underSheen(
  patches: readonly PrintedPatch[],
  places: readonly PointMm[],
  [width_mm, height_mm]: readonly [number, number],
  mean: number,
  under: Viewing,
): readonly PrintedPatch[] {
  const at = places.map(([x, y]) => [x / width_mm - 0.5, y / height_mm - 0.5]);
  const onCard = at.map(([x, y]) => Math.abs(x) <= 0.5 && Math.abs(y) <= 0.5);
  if (!tellsSheen(patches, onCard)) return patches;
  return patches.map((patch, i) => {
    const [x, y] = at[i];
    const isOnCard = onCard[i];
    const flat = (level: number): Float64Array => new Float64Array(GRID.count).fill(isOnCard ? level : 0);
    const ways = [...(mean > 0 ? [flat(DOUBT * mean)] : []), flat(GROWTH * x), flat(GROWTH * y)];
    const open = { ...patch, sharedModes: [...patch.sharedModes, ...ways], ofPhoto: ways.length };
    if (mean === 0 || !isOnCard) return open;
    return inThisLight(
      open,
      patch.reflectance.map((v) => v + mean),
      under,
    );
  });
}

/** The mean sheen that a fit with open growth tells of, none at the clearest corner; 0 where no growth is told. */
export function sheenTold(fit: Fit): number {
  if (!fit.patches[0]?.ofPhoto) return 0;
  const { size } = fit.layout;
  const growth = [1, 2].map((back) => {
    const at = size - back;
    const unit = new Float64Array(size);
    unit[at] = 1;
    const sd = Math.hypot(...solveLower(fit.hessian, size, unit));
    return { value: fit.theta[at], sureness: Math.abs(fit.theta[at]) / sd };
  });
  const told = growth.filter(({ value, sureness }) => sureness > SURE && GROWTH * Math.abs(value) > LEAST);
  return 0.5 * GROWTH * told.reduce((sum, { value }) => sum + Math.abs(value), 0);
}
