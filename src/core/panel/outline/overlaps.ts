/** Which of the outlines proposed are kept where they share ground. */
import { quadArea, sharedArea } from '../../photo/polygon.ts';
import type { Proposal } from './proposals.ts';

/** Two panels share at most this part of the smaller. */
const MOST_SHARED = 0.12;

type Worth = (one: Proposal) => number;

/**
 * The best of the proposals that share ground; one that others make up between them gives way to those. `worth` is what
 * a proposal counts for against others.
 */
export function withoutOverlaps(
  proposals: readonly Proposal[],
  worth: Worth = (one) => one.confidence,
): Proposal[] {
  const best = [...proposals].sort((a, b) => worth(b) - worth(a));
  const chosen: Proposal[] = [];
  for (const one of best) {
    const area = quadArea(one.quad);
    const isFree = chosen.every(
      ({ quad }) => sharedArea(quad, one.quad) < MOST_SHARED * Math.min(area, quadArea(quad)),
    );
    if (isFree && !isMadeUpOf(one, area, best, worth)) chosen.push(one);
  }
  return chosen;
}

/** Parts cover this much of the whole between them, and are nearly as good: a row of panels taken for one. */
const PARTS_COVER = 0.8;
const PARTS_WORTH = 0.55;

function isMadeUpOf(one: Proposal, area: number, best: readonly Proposal[], worth: Worth): boolean {
  const parts: Proposal[] = [];
  let covered = 0;
  let worthOfAll = 0;
  for (const part of best) {
    const own = quadArea(part.quad);
    if (own > 0.75 * area || own < 0.1 * area) continue;
    if (sharedArea(part.quad, one.quad) < 0.88 * own) continue;
    if (parts.some(({ quad }) => sharedArea(quad, part.quad) > MOST_SHARED * Math.min(own, quadArea(quad))))
      continue;
    parts.push(part);
    covered += own / area;
    worthOfAll += worth(part);
  }
  return parts.length > 1 && covered >= PARTS_COVER && worthOfAll / parts.length >= PARTS_WORTH * worth(one);
}
