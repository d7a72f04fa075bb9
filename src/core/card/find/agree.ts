import { applyHomography, fitHomography, type Homography } from '../homography.ts';
import type { CardDefinition, CardMarker } from '../types.ts';
import { FAMILIES } from './codes.ts';
import { type Corners, meanSide } from './quads.ts';
import type { Square } from './tags.ts';

/** A marker of a definition and where its corners were seen, px, in the definition's order. */
export interface SeenMarker {
  readonly marker: CardMarker;
  readonly corners: Corners;
}

/** How far from its predicted place a tag may lie, in sides of the tag: one tag alone predicts its fellows badly. */
const ROUGH_SIDES = 0.8;
/** How far its corners may lie from where all tags together put them. */
const FINE_SIDES = 0.06;

/** The markers of a definition that can be read. */
export function readableMarkers(definition: CardDefinition): readonly CardMarker[] {
  return definition.markers.filter((m) => FAMILIES.has(m.family));
}

/** Corners of a marker on the card as x, y pairs, mm. */
export function cornersMm(marker: CardMarker): Float64Array {
  return Float64Array.from(marker.corners_mm.flat());
}

/** Homography from the card (mm) to the photo (px) through all corners of some markers. */
export function homographyOf(seen: readonly SeenMarker[]): Homography {
  return fitHomography(
    seen.flatMap((s) => [...cornersMm(s.marker)]),
    seen.flatMap((s) => [...s.corners]),
  );
}

/**
 * The largest set of read tags, one for each marker at most, whose places agree on one view of the card. Two cards in
 * one photo give the one of which more is seen.
 */
export function agreeing(definition: CardDefinition, squares: readonly Square[]): SeenMarker[] {
  const markers = readableMarkers(definition);
  const seen: SeenMarker[] = [];
  for (const marker of markers)
    for (const square of squares)
      if (square.code?.id === marker.id) seen.push({ marker, corners: square.corners });
  let best: SeenMarker[] = [];
  for (const seed of seen) {
    const set = settle(around(seed, seen));
    if (set.length > best.length || (set.length === best.length && extent(set) > extent(best))) best = set;
  }
  return best;
}

/** For each marker, the seen tag nearest to where the seed tag alone predicts it. */
function around(seed: SeenMarker, seen: readonly SeenMarker[]): SeenMarker[] {
  const toPx = homographyOf([seed]);
  const nearest = new Map<CardMarker, { readonly tag: SeenMarker; readonly distance: number }>();
  for (const tag of seen) {
    const distance = tag === seed ? 0 : centreDistance(toPx, tag);
    const known = nearest.get(tag.marker);
    if (distance < ROUGH_SIDES && !(known && known.distance <= distance))
      nearest.set(tag.marker, { tag, distance });
  }
  return [...nearest.values()].map((n) => n.tag);
}

function centreDistance(toPx: Homography, { marker, corners }: SeenMarker): number {
  const mm = cornersMm(marker);
  const [x, y] = applyHomography(toPx, (mm[0] + mm[4]) / 2, (mm[1] + mm[5]) / 2);
  return Math.hypot(x - (corners[0] + corners[4]) / 2, y - (corners[1] + corners[5]) / 2) / meanSide(corners);
}

/** Leaves out the tag that fits worst until all that remain agree. */
function settle(tags: readonly SeenMarker[]): SeenMarker[] {
  let kept = [...tags];
  while (kept.length > 1) {
    const toPx = homographyOf(kept);
    const misfits = kept.map((tag) => cornerMisfit(toPx, tag));
    const worst = misfits.indexOf(Math.max(...misfits));
    if (misfits[worst] < FINE_SIDES) break;
    kept = kept.filter((_, i) => i !== worst);
  }
  return kept;
}

/** Root-mean-square distance of a tag's corners from a homography, in sides of the tag (at least 2 px count as 0). */
function cornerMisfit(toPx: Homography, { marker, corners }: SeenMarker): number {
  const mm = cornersMm(marker);
  let sum = 0;
  for (let i = 0; i < 4; i++) {
    const [x, y] = applyHomography(toPx, mm[2 * i], mm[2 * i + 1]);
    sum += (x - corners[2 * i]) ** 2 + (y - corners[2 * i + 1]) ** 2;
  }
  return Math.max(0, Math.sqrt(sum / 4) - 2) / meanSide(corners);
}

function extent(set: readonly SeenMarker[]): number {
  return set.reduce((sum, s) => sum + meanSide(s.corners), 0);
}
