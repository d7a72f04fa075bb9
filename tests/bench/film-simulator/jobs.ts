/** Simulated jobs: what a painter has on the wall, what they have not sprayed yet, and where they want to go. */
import { deltaE2000 } from '../../../src/core/color/difference.ts';
import { type Random, seededRandom } from '../../../src/core/math/random.ts';
import type { Triple } from './spectra.ts';
import { type Family, makeWorld, type Spray, sprayPanel, type World } from './world.ts';

export interface SimulatedPanel {
  readonly id: string;
  /** What the job says was sprayed. */
  readonly spray: Spray;
  readonly truth: Triple;
  readonly lab: Triple;
  /** The photo it was read in; its readings share part of their error. */
  readonly photo: string;
}

export interface SimulatedJob {
  readonly world: World;
  readonly panels: readonly SimulatedPanel[];
  readonly u: number;
  readonly rng: Random;
}

/** The local ΔE2000 stretch of each direction, by small differences. */
function noisy(lab: Triple, u: number, rng: Random, shared: Triple): Triple {
  const own = [rng.normal(), rng.normal(), rng.normal()];
  const d = own.map((z, i) => (u / Math.sqrt(3)) * (Math.sqrt(0.6) * z + Math.sqrt(0.4) * shared[i]));
  const c = Math.hypot(lab[1], lab[2]) || 1;
  const ux = [0, lab[1] / c, lab[2] / c];
  const uh = [0, -lab[2] / c, lab[1] / c];
  const axes = [[1, 0, 0], ux, uh];
  const eps = 0.01;
  const out = [...lab];
  axes.forEach((axis, k) => {
    const there = lab.map((v, i) => v + eps * axis[i]) as unknown as Triple;
    const stretch = deltaE2000(there, lab) / eps;
    for (let i = 0; i < 3; i++) out[i] += (d[k] / stretch) * axis[i];
  });
  return out as unknown as Triple;
}

export const measured = (truth: Triple, u: number, rng: Random): Triple =>
  noisy(truth, u, rng, [rng.normal(), rng.normal(), rng.normal()]);

const pick = <T>(rng: Random, list: readonly T[]): T => list[Math.floor(rng.uniform() * list.length)];

const PAIRS: readonly (readonly [number, number])[] = [
  [8, 1],
  [6, 1],
  [5, 1],
  [4, 1],
  [3, 1],
  [5, 2],
  [2, 1],
  [3, 2],
  [1, 1],
  [1, 2],
  [1, 3],
  [1, 5],
];

/** Whole parts of every tint: a blend led by one of them. */
export function randomParts(rng: Random, tints: number): number[] {
  const [major, minor] = pick(rng, PAIRS);
  const parts = [major, minor, ...new Array<number>(tints - 2).fill(0)];
  if (tints > 2) {
    if (rng.uniform() < 0.6) parts[2] = pick(rng, [1, 1, 2]);
    if (rng.uniform() < 0.2) parts[1] = 0;
  }
  return parts;
}

function randomSpray(rng: Random, world: World, clear = true): Spray {
  const usual = world.usualCarrier;
  return {
    parts: randomParts(rng, world.dyes.length),
    carrier: rng.uniform() < 0.75 ? usual : usual + pick(rng, [-1, 1]),
    coats: pick(rng, [2, 3, 3, 4, 4, 5]),
    ground: Math.floor(rng.uniform() * world.grounds.length),
    clear,
  };
}

/** Panels that fit beside the card. */
const PER_PHOTO = 4;

/** Three bare grounds and `count` sprayed panels, read in photos of up to four panels with noise u. Every tint is seen. */
export function simulateJob(
  family: Family,
  count: number,
  seed: number,
  u = 0.6,
  tints?: number,
): SimulatedJob {
  const rng = seededRandom(seed * 7919 + 17);
  const world = makeWorld(family, tints ?? (rng.uniform() < 0.7 || count < 3 ? 2 : 3), rng);
  let shared: Triple = [0, 0, 0];
  const panels: SimulatedPanel[] = [];
  const add = (id: string, spray: Spray): void => {
    const truth = sprayPanel(world, spray, rng);
    if (panels.length % PER_PHOTO === 0) shared = [rng.normal(), rng.normal(), rng.normal()];
    const photo = `f${1 + Math.floor(panels.length / PER_PHOTO)}`;
    panels.push({ id, spray, truth, lab: noisy(truth, u, rng, shared), photo });
  };
  const none = world.dyes.map(() => 0);
  world.grounds.forEach((_, g) => {
    add(`bare-${g + 1}`, { parts: none, carrier: 0, coats: 0, ground: g, clear: true });
  });
  for (;;) {
    const sprays = Array.from({ length: count }, () => randomSpray(rng, world));
    const allSeen = none.every((_, t) => sprays.some((s) => s.parts[t] > 0));
    const kinds = new Set(sprays.map((s) => s.parts.join(':')));
    if (!allSeen || kinds.size < Math.min(count, world.dyes.length)) continue;
    sprays.forEach((s, i) => {
      add(`p${i + 1}`, s);
    });
    return { world, panels, u, rng };
  }
}

/** How far outside the sprayed shares of a tint a new ratio may lie. */
const BEYOND = 0.1;

/** A panel nobody sprayed yet: a new ratio (at most a little outside those sprayed), up to two coats away, any ground. */
export function unseenSpray(job: SimulatedJob): Spray {
  const { rng, world, panels } = job;
  const sprayed = panels.filter((p) => p.spray.coats > 0).map((p) => p.spray);
  const share = (parts: readonly number[], t: number): number => parts[t] / parts.reduce((a, b) => a + b, 0);
  for (let tries = 0; ; tries++) {
    const next = randomSpray(rng, world);
    const near = world.dyes.every((_, t) => {
      const seen = sprayed.map((s) => share(s.parts, t));
      const f = share(next.parts, t);
      return f >= Math.min(...seen) - BEYOND && f <= Math.max(...seen) + BEYOND;
    });
    const isNew = !sprayed.some((s) => s.parts.join() === next.parts.join());
    if (!near || (!isNew && tries < 50)) continue;
    const coats = pick(rng, sprayed).coats + pick(rng, [-2, -1, 0, 1, 2]);
    return { ...next, coats: Math.min(8, Math.max(1, coats)) };
  }
}

/** A target that the shop's own tints and grounds reach with a practical recipe. */
export function reachableTarget(job: SimulatedJob): { spray: Spray; lab: Triple } {
  const spray = unseenSpray(job);
  return { spray, lab: sprayPanel(job.world, spray) };
}
