/** Chooses outlines a second time, by the size that most of those chosen first have. */
import type { PlacedCard } from '../../card/types.ts';
import { isConvexQuad, quadArea } from '../../photo/polygon.ts';
import { onACard } from '../find/shape.ts';
import type { Instance } from './instances.ts';
import { commonSizes, hasSize, rectanglesAt } from './like-sized.ts';
import { commonRadius, discAmong, hasRadius } from './like-sized-discs.ts';
import { withoutOverlaps } from './overlaps.ts';
import { asOtherShape, asQuad, LEAST_CONFIDENCE, type Proposal, type Seen } from './proposals.ts';

/** Panels of a size the others have not count for this much, when outlines are chosen a second time. */
const ODD_SIZE = 0.7;
const SURE = 0.55;

/**
 * The outlines chosen again, with those among the proposals that have the size of most of the first choice; undefined
 * where they have none in common.
 */
export function likeTheOthers(
  seen: Seen,
  instances: readonly Instance[],
  proposals: readonly Proposal[],
  chosen: readonly Proposal[],
): Proposal[] | undefined {
  const card = largestOf(seen.cards);
  if (!card) return undefined;
  const sure = chosen.filter((p) => p.confidence >= SURE);
  const [quads, others] = [sure.filter((p) => p.shape === 'quad'), sure.filter((p) => p.shape !== 'quad')];
  const sizes = commonSizes(
    quads.map((p) => p.quad),
    card,
  );
  const radius_mm = commonRadius(
    others.map((p) => p.outline_px),
    card,
  );
  if (sizes.length === 0 && radius_mm === undefined) return undefined;
  const weighed = proposals.flatMap((panel) => {
    const isUsual =
      panel.shape === 'quad'
        ? hasSize(panel.quad, sizes, card)
        : radius_mm !== undefined && hasRadius(panel.outline_px, radius_mm, card);
    if (isUsual) return [panel];
    const resized = panel.shape === 'quad' ? rectanglesAt(panel.quad, sizes, card) : [];
    return [
      { ...panel, confidence: ODD_SIZE * panel.confidence },
      ...resized.flatMap((quad) => asQuad(seen, quad)),
    ];
  });
  const discs = instances.flatMap((instance) => {
    if (radius_mm === undefined) return [];
    const disc = discAmong(seen.maps, instance.pixels, radius_mm, card, seen.scale);
    return disc ? asOtherShape(seen, instance.pixels, 'ellipse', disc.outline_px, disc.confidence) : [];
  });
  return withoutOverlaps([
    ...weighed.filter(
      ({ quad, confidence }) => confidence >= ODD_SIZE * LEAST_CONFIDENCE && !onACard(quad, seen.cards),
    ),
    ...discs.filter(({ quad, confidence }) => confidence >= LEAST_CONFIDENCE && !onACard(quad, seen.cards)),
  ]);
}

function largestOf(cards: readonly PlacedCard[]): PlacedCard | undefined {
  const sound = cards.filter(({ corners_px }) => isConvexQuad(corners_px));
  return sound.sort((a, b) => quadArea(b.corners_px) - quadArea(a.corners_px))[0];
}
