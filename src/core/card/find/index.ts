/** Finds the card, and strips beside it, in a photo by their tags. */
import { SprayoutError } from '../../errors.ts';
import type { Raster } from '../../photo/types.ts';
import { applyHomography } from '../homography.ts';
import type { CardDefinition, PlacedCard } from '../types.ts';
import { agreeing, cornersMm, homographyOf, readableMarkers, type SeenMarker } from './agree.ts';
import { readCells } from './cells.ts';
import { wrongBitsOf } from './codes.ts';
import { cornersOnPhoto } from './corners.ts';
import { fitSquare } from './edges.ts';
import { reduce, searchFactors } from './level.ts';
import { placeByMarkers } from './placing.ts';
import { meanSide } from './quads.ts';
import { isInside, partlyOutside, refusal, refuseSmall } from './refusal.ts';
import { placeStrip } from './strip.ts';
import { type Square, squaresOn, turnedOver } from './tags.ts';
import { refuseClipped } from './white.ts';

/** Tags that must agree before a card with more of them is believed. */
const FEWEST_TAGS = 3;
/** Tags smaller than this on the level that was searched may have been missed there, px of the level. */
const SURE_ON_LEVEL = 16;
/** Wrong bits that a tag may have where the other tags of the card say it is. */
const WRONG_BITS_WHERE_EXPECTED = 9;

/**
 * Where cards lie in a photo. `definitions[0]` is the main card; further definitions (strips with one tag each) are
 * answered after it and after further copies of it, as far as they are seen. Positions are good to about a twentieth of a pixel on sharp photos.
 * @throws SprayoutError `card-not-found`, `card-too-small`, `card-blurred`, `card-mirrored`, `card-partly-outside`,
 *   `card-clipped`; `card-invalid` for a definition without readable markers
 */
export function findCards(raster: Raster, definitions: readonly CardDefinition[]): PlacedCard[] {
  const [definition, ...others] = definitions;
  if (readableMarkers(definition).length === 0)
    throw new SprayoutError(
      'card-invalid',
      `The card "${definition.name}" has no markers to be found by.`,
      'Place it by its four corners with --card-corners.',
    );
  const search = searchFor(raster, definition);
  if (search.seen.length < fewestTags(definition))
    throw refusal(raster, definition, {
      coarsest: reduce(raster, searchFactors(raster)[0]),
      squares: search.tried,
      seen: search.seen,
    });
  const seen = refined(raster, search.seen);
  refuseSmall(definition.name, seen, (s) => meanSide(s.corners));
  const main = placed(raster, definition, seen);
  if (seen.length < readableMarkers(definition).length) refuseCutOff(raster, main);
  refuseClipped(raster, main);
  const squares = others.length > 0 ? withSmallerTags(raster, search, main, others) : search.squares;
  return [
    main,
    ...furtherCards(raster, definition, main, squares),
    ...others.flatMap((other) => placeOther(raster, other, main, squares) ?? []),
  ];
}

/** More copies of the card than this in one photo are not looked for. */
const MOST_CARDS = 4;

/** Further copies of the main card: tags of it outside the cards placed so far. */
function furtherCards(
  raster: Raster,
  definition: CardDefinition,
  main: PlacedCard,
  squares: readonly Square[],
): PlacedCard[] {
  const found = [main];
  while (found.length < MOST_CARDS) {
    const left = squares.filter(({ corners: c }) =>
      found.every((card) => !covers(card, (c[0] + c[4]) / 2, (c[1] + c[5]) / 2)),
    );
    const seen = agreeing(definition, left);
    if (seen.length < FEWEST_TAGS) break;
    found.push(placed(raster, definition, refined(raster, seen)));
  }
  return found.slice(1);
}

function covers({ definition, toMm }: PlacedCard, x: number, y: number): boolean {
  const [mmX, mmY] = toMm([x, y]);
  return mmX > 0 && mmY > 0 && mmX < definition.size_mm[0] && mmY < definition.size_mm[1];
}

/** What a search showed: of the level that was the best. */
interface Search {
  /** Pixels of the photo along one pixel of the level. */
  readonly factor: number;
  readonly squares: readonly Square[];
  readonly seen: readonly SeenMarker[];
  /** Squares of every level that was searched. */
  readonly tried: readonly (readonly Square[])[];
}

function fewestTags(definition: CardDefinition): number {
  return Math.min(FEWEST_TAGS, readableMarkers(definition).length);
}

/** Searches from coarse to fine until enough tags of the card agree. */
function searchFor(raster: Raster, definition: CardDefinition): Search {
  const tried: (readonly Square[])[] = [];
  let best: Search = { factor: 1, squares: [], seen: [], tried };
  for (const factor of searchFactors(raster)) {
    const upright = squaresOn(reduce(raster, factor), raster);
    let squares = upright;
    let seen = withExpected(raster, definition, agreeing(definition, squares));
    if (seen.length < fewestTags(definition)) {
      const turned = turnedOver(upright);
      const agreed = agreeing(definition, turned);
      if (agreed.length >= fewestTags(definition)) {
        squares = turned;
        seen = agreed;
      }
    }
    tried.push(upright);
    if (seen.length >= best.seen.length) best = { factor, squares, seen, tried };
    if (seen.length >= fewestTags(definition)) break;
  }
  return best;
}

/** Adds tags that the search missed where two or more others say that they are. */
function withExpected(raster: Raster, definition: CardDefinition, seen: readonly SeenMarker[]): SeenMarker[] {
  const all = [...seen];
  if (seen.length < 2) return all;
  const toPx = homographyOf(seen);
  for (const marker of readableMarkers(definition)) {
    if (seen.some((s) => s.marker === marker)) continue;
    const mm = cornersMm(marker);
    const corners = new Float64Array(8);
    for (let i = 0; i < 4; i++) corners.set(applyHomography(toPx, mm[2 * i], mm[2 * i + 1]), 2 * i);
    if ([0, 2, 4, 6].some((i) => !isInside(raster, corners[i], corners[i + 1]))) continue;
    const fitted = fitSquare(raster, corners, 0.75 * (meanSide(corners) / 8), 24, 3);
    if (!fitted || fitted.support < 0.6) continue;
    const read = readCells(raster, fitted.corners);
    if (read && wrongBitsOf(read.cells, marker.id) <= WRONG_BITS_WHERE_EXPECTED)
      all.push({ marker, corners: fitted.corners });
  }
  return all;
}

/** Corners fitted again with many places along each edge, from where all tags together put them. */
function refined(raster: Raster, seen: readonly SeenMarker[]): SeenMarker[] {
  return seen.map((tag) => {
    const side = meanSide(tag.corners);
    const reach = Math.min(0.7 * (side / 8), Math.max(4, 0.02 * side));
    const places = Math.max(24, Math.min(64, Math.round(side / 2)));
    const fitted = fitSquare(raster, tag.corners, reach, places, 5);
    return fitted ? { marker: tag.marker, corners: fitted.corners } : tag;
  });
}

function placed(raster: Raster, definition: CardDefinition, seen: readonly SeenMarker[]): PlacedCard {
  const { toPx, toMm, residual_px, curl } = placeByMarkers(seen, raster.width_px, raster.height_px);
  const corners_px = cornersOnPhoto(definition, toPx);
  return { definition, found_by: 'markers', corners_px, toPx, toMm, residual_px, ...(curl && { curl }) };
}

/** A tag that is missing because the photo ends before it means that patches are missing too. */
function refuseCutOff(raster: Raster, card: PlacedCard): void {
  const cut = readableMarkers(card.definition).some((m) =>
    m.corners_mm.some((corner) => !isInside(raster, ...card.toPx(corner))),
  );
  if (cut) throw partlyOutside(card.definition.name);
}

/** All squares seen, searched again on a finer level when the strips' tags may have been too small for the first. */
function withSmallerTags(
  raster: Raster,
  search: Search,
  main: PlacedCard,
  strips: readonly CardDefinition[],
): readonly Square[] {
  const [a, b] = main.corners_px;
  const pxPerMm = Math.hypot(b[0] - a[0], b[1] - a[1]) / main.definition.size_mm[0];
  const side_mm = Math.min(...strips.flatMap((s) => readableMarkers(s).map((m) => meanSide(cornersMm(m)))));
  const ids = strips.flatMap((s) => readableMarkers(s).map((m) => m.id));
  const sure = (side_mm * pxPerMm) / search.factor >= SURE_ON_LEVEL;
  const allSeen = ids.every((id) => search.squares.some((s) => s.code?.id === id));
  if (sure || allSeen || search.factor === 1) return search.squares;
  return squaresOn(reduce(raster, Math.max(1, Math.floor(search.factor / 2))), raster);
}

function placeOther(
  raster: Raster,
  definition: CardDefinition,
  main: PlacedCard,
  squares: readonly Square[],
): PlacedCard | undefined {
  if (readableMarkers(definition).length <= 1) return placeStrip(definition, main, squares, raster);
  const seen = agreeing(definition, squares);
  return seen.length >= fewestTags(definition)
    ? placed(raster, definition, refined(raster, seen))
    : undefined;
}
