/** What nobody can do better than: the recipe chosen by the shop's true physics. */
import { wholeRatios } from '../../../src/core/advise/net.ts';
import { deltaE2000 } from '../../../src/core/color/difference.ts';
import type { SimulatedJob } from './jobs.ts';
import type { Triple } from './spectra.ts';
import { type Spray, sprayPanel } from './world.ts';

/** Whole parts together: the advice's own limit for two tints, fewer for three, whose steps are as fine. */
const PARTS = { two: 12, three: 7 } as const;

/** The practical recipe whose true colour, from an even hand, is nearest to a colour. */
export function perfectAdvice({ world }: SimulatedJob): (to: Triple) => Spray {
  const tints = world.dyes.length;
  const usual = world.usualCarrier;
  const made = wholeRatios(tints, tints > 2 ? PARTS.three : PARTS.two).flatMap((parts) =>
    world.grounds.flatMap((_, ground) =>
      [usual - 1, usual, usual + 1].flatMap((carrier) =>
        Array.from({ length: 8 }, (_, i) => {
          const spray: Spray = { parts, carrier, coats: i + 1, ground, clear: true };
          return { spray, lab: sprayPanel(world, spray) };
        }),
      ),
    ),
  );
  return (to) =>
    made
      .map(({ spray, lab }) => ({ spray, off: deltaE2000(lab, to) }))
      .reduce((a, b) => (b.off < a.off ? b : a)).spray;
}
