import type { Mat3 } from '../math/linear.ts';

/** Share of a photo reading's variance that its own panel has for itself; the rest is the photo's. */
const OWN_SHARE = 0.6;

const even = (v: number): Mat3 => [v, 0, 0, 0, v, 0, 0, 0, v];

/**
 * Error of a reading of standard uncertainty u (root-mean-square ΔE2000 over all directions), as covariances in the
 * local ΔE2000 frame: its own, and the one it shares with the readings of its photo.
 */
export function readingError(u: number, fromPhoto: boolean): { own: Mat3; shared: Mat3 } {
  const variance = Math.max(u, 0.05) ** 2 / 3;
  const own = fromPhoto ? OWN_SHARE : 1;
  return { own: even(own * variance), shared: even((1 - own) * variance) };
}
