/** Chooses outlines a second time, by the size that most of those chosen first have. */
import type { CardPlace } from '../../card/types.ts';
import { isConvexQuad, quadArea } from '../../photo/polygon.ts';
import { onACard } from '../find/shape.ts';
import type { Instance } from './instances.ts';
import { commonSizes, hasSize, rectanglesAt } from './like-sized.ts';
import { commonRadius, discAmong, hasRadius } from './like-sized-discs.ts';
import { withoutOverlaps } from './overlaps.ts';
import { asOtherShape, asQuad, LEAST_CONFIDENCE, type Proposal, type Seen } from './proposals.ts';

/** Panels of a size the others have not count for this much, when outlines are chosen a second time. */
const ODD_SIZE = 0.7;
/** A rectangle of the others' size may explain the maps less well than other proposals must. */
const LEAST_OF_USUAL_SIZE = ODD_SIZE * LEAST_CONFIDENCE;
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
  const isUsual = ({ shape, quad, outline_px }: Proposal): boolean =>
    shape === 'quad'
      ? hasSize(quad, sizes, card)
      : radius_mm !== undefined && hasRadius(outline_px, radius_mm, card);
  const odd = new Set(proposals.filter((panel) => !isUsual(panel)));
  const resized = [...odd]
    .flatMap(({ shape, quad }) => (shape === 'quad' ? rectanglesAt(quad, sizes, card) : []))
    .flatMap((quad) => asQuad(seen, quad))
    .filter(({ confidence }) => confidence >= LEAST_OF_USUAL_SIZE);
  const discs = instances
    .flatMap(({ pixels }) => {
      const disc = radius_mm !== undefined && discAmong(seen.maps, pixels, radius_mm, card, seen.scale);
      return disc ? asOtherShape(seen, pixels, 'ellipse', disc.outline_px, disc.confidence) : [];
    })
    .filter(({ confidence }) => confidence >= LEAST_CONFIDENCE);
  return withoutOverlaps(
    [...proposals, ...[...resized, ...discs].filter(({ quad }) => !onACard(quad, seen.cards))],
    (one) => (odd.has(one) ? ODD_SIZE * one.confidence : one.confidence),
  );
}

function largestOf(cards: readonly CardPlace[]): CardPlace | undefined {
  const sound = cards.filter(({ corners_px }) => isConvexQuad(corners_px));
  return sound.sort((a, b) => quadArea(b.corners_px) - quadArea(a.corners_px))[0];
}
