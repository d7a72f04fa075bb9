import { deltaE2000 } from '../../../src/core/color/difference.ts';
import type { SimulatedJob } from './jobs.ts';
import type { Triple } from './spectra.ts';
import { type Family, makeWorld, sprayPanel } from './world.ts';

const RATIOS: readonly (readonly [number, number])[] = [
  [1, 0],
  [10, 1],
  [5, 1],
  [3, 1],
  [2, 1],
  [3, 2],
  [1, 1],
  [2, 3],
  [1, 2],
  [1, 3],
  [1, 5],
  [1, 10],
  [0, 1],
];

/** Everything a shop of two tints can reach, on a fine net of ratio, film and ground. */
function reachOf(job: SimulatedJob): Triple[] {
  const { world } = job;
  return RATIOS.flatMap((parts) =>
    world.grounds.flatMap((_, ground) =>
      Array.from({ length: 8 }, (_, i) => i + 1).flatMap((coats) =>
        [-1, 0, 1].map((d) =>
          sprayPanel(world, { parts, carrier: world.usualCarrier + d, coats, ground, clear: true }),
        ),
      ),
    ),
  );
}

/** A colour of another shop's that this one comes no nearer than 4 ΔE2000 to, and no farther than 15. */
export function outsideTarget(job: SimulatedJob, family: Family): Triple | undefined {
  const reach = reachOf(job);
  for (let tries = 0; tries < 40; tries++) {
    const other = makeWorld(family, 2, job.rng);
    const ground = Math.floor(3 * job.rng.uniform());
    const coats = 1 + Math.floor(5 * job.rng.uniform());
    const lab = sprayPanel(other, { parts: [2, 1], carrier: other.usualCarrier, coats, ground, clear: true });
    const nearest = Math.min(...reach.map((r) => deltaE2000(r, lab)));
    if (nearest >= 4 && nearest <= 15) return lab;
  }
  return undefined;
}
