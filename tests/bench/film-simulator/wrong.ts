import { deltaE2000 } from '../../../src/core/color/difference.ts';
import { randomParts, type SimulatedJob } from './jobs.ts';
import { sprayPanel } from './world.ts';

/** The job with one panel's ratio or coats entered wrongly, so that its recipe is more than 5 ΔE2000 off. */
export function misentered(job: SimulatedJob): { job: SimulatedJob; id: string } | undefined {
  const { rng, world, panels } = job;
  const sprayed = panels.flatMap((p, i) => (p.spray.coats > 0 ? [i] : []));
  for (let tries = 0; tries < 200; tries++) {
    const i = sprayed[Math.floor(rng.uniform() * sprayed.length)];
    const { spray, id } = panels[i];
    const slip = [-2, -1, 1, 2][Math.floor(4 * rng.uniform())];
    const entered =
      rng.uniform() < 0.5
        ? { ...spray, parts: randomParts(rng, world.dyes.length) }
        : { ...spray, coats: Math.max(1, spray.coats + slip) };
    if (deltaE2000(sprayPanel(world, entered), sprayPanel(world, spray)) <= 5) continue;
    return { id, job: { ...job, panels: panels.map((p, k) => (k === i ? { ...p, spray: entered } : p)) } };
  }
  return undefined;
}
