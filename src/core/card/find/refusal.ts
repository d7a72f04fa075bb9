import { SprayoutError } from '../../errors.ts';
import type { Raster } from '../../photo/types.ts';
import { applyHomography } from '../homography.ts';
import type { CardDefinition } from '../types.ts';
import { cornersMm, homographyOf, readableMarkers, type SeenMarker } from './agree.ts';
import type { CodeMatch } from './codes.ts';
import type { Level } from './level.ts';
import { isBlurredAllOver } from './sharpness.ts';
import { type Square, wideBlur } from './tags.ts';

/** Least width of a tag that is measured with, px. Patches are then some 25 px wide. */
export const LEAST_TAG_PX = 40;

const SIZE_HINT =
  'Go closer, so that the card fills at least a quarter of the width of the photo, and keep it sharp.';

/** What was looked at: the coarsest level of the photo, and the squares that each level showed. */
export interface Looked {
  readonly coarsest: Level;
  readonly squares: readonly (readonly Square[])[];
  /** The card's own tags, as far as they agree. */
  readonly seen: readonly SeenMarker[];
}

/** Why a card that was looked for was not found, as well as what was seen tells it. */
export function refusal(raster: Raster, definition: CardDefinition, looked: Looked): SprayoutError {
  const name = definition.name;
  const all = looked.squares.flat();
  const markers = readableMarkers(definition);
  const isOurs = (code: CodeMatch | undefined): boolean => markers.some((m) => m.id === code?.id);
  if (leavesPhoto(raster, definition, looked.seen)) return partlyOutside(name);
  if (looked.seen.length === 0 && all.some((s) => isOurs(s.mirrorCode))) return mirrored(name);
  for (const squares of looked.squares) {
    const alike = arrangedLike(definition, squares);
    const side = alike.length >= 3 ? median(alike.map((s) => s.side_px)) : LEAST_TAG_PX;
    if (side < LEAST_TAG_PX) return tooSmall(name, side);
  }
  if (looked.squares.some((s) => areBlurred(raster, s)) || isBlurredAllOver(looked.coarsest))
    return blurred(name);
  if (looked.seen.length > 0)
    return new SprayoutError(
      'card-not-found',
      `Only ${looked.seen.length} of the ${markers.length} markers of the card "${name}" can be seen; three are needed.`,
      'Take away what covers the others, and mind that no lamp is mirrored on them and no hard shadow falls across.',
    );
  if (all.some((s) => s.code))
    return new SprayoutError(
      'card-not-found',
      `The photo shows markers, but none of the card "${name}".`,
      'Lay this card beside the panels, or name the card that was used with --card.',
    );
  return new SprayoutError(
    'card-not-found',
    `No card was found in the photo: none of the markers of "${name}" can be seen.`,
    'Photograph the panels and the whole card together, from straight above, in even light, with nothing lying on the card. A chart without markers is placed with --card-corners.',
  );
}

function mirrored(name: string): SprayoutError {
  return new SprayoutError(
    'card-mirrored',
    `The card "${name}" is mirrored in this photo.`,
    'Turn mirroring off in the camera (front cameras often mirror), or flip the photo left to right.',
  );
}

function blurred(name: string): SprayoutError {
  return new SprayoutError(
    'card-blurred',
    `The photo is too blurred for the card "${name}" to be read.`,
    'Tap on the card to focus, hold the camera still or lean it on something, and wipe the lens.',
  );
}

/** Whether most of several dark squares have edges that are wide for their size. */
function areBlurred(photo: Raster, squares: readonly Square[]): boolean {
  const unread = squares.filter((s) => !s.code);
  const wide = unread.filter((s) => wideBlur(photo, s) > Math.max(1.2, (0.3 * s.side_px) / 8));
  return unread.length >= 4 && wide.length >= 0.75 * unread.length;
}

/** Refuses a card whose tags are too small to measure with. */
export function refuseSmall(
  name: string,
  seen: readonly SeenMarker[],
  side: (s: SeenMarker) => number,
): void {
  const size = median(seen.map(side));
  if (size < LEAST_TAG_PX) throw tooSmall(name, size);
}

export function partlyOutside(name: string): SprayoutError {
  return new SprayoutError(
    'card-partly-outside',
    `The card "${name}" is only partly inside the photo.`,
    'Move back or aim anew, so that all four corners of the card are in the photo with a little room around.',
  );
}

function tooSmall(name: string, side_px: number): SprayoutError {
  return new SprayoutError(
    'card-too-small',
    `The card "${name}" is too small in this photo: its markers are ${Math.round(side_px)} px wide, ${LEAST_TAG_PX} px is the least and 60 px good.`,
    SIZE_HINT,
  );
}

/** Whether the tags that were seen say that others lie outside the photo. */
function leavesPhoto(raster: Raster, definition: CardDefinition, seen: readonly SeenMarker[]): boolean {
  if (seen.length === 0) return false;
  const toPx = homographyOf(seen);
  const missing = readableMarkers(definition).filter((m) => !seen.some((s) => s.marker === m));
  return missing.some((m) => {
    const mm = cornersMm(m);
    return [0, 2, 4, 6].some((i) => !isInside(raster, ...applyHomography(toPx, mm[i], mm[i + 1])));
  });
}

export function isInside(raster: Raster, x: number, y: number): boolean {
  return x >= 0 && y >= 0 && x <= raster.width_px && y <= raster.height_px;
}

/** The largest set of unread squares that lie to one another as the card's tags do, near enough. */
function arrangedLike(definition: CardDefinition, squares: readonly Square[]): readonly Square[] {
  const markers = readableMarkers(definition);
  const unread = squares.filter((s) => !s.code).slice(0, 60);
  let best: readonly Square[] = [];
  for (const seed of unread)
    for (const marker of markers)
      for (let turn = 0; turn < 4; turn++) {
        const set = fellows(seed, marker, turn, markers, unread);
        if (set.length > best.length) best = set;
      }
  return best;
}

function fellows(
  seed: Square,
  marker: CardDefinition['markers'][number],
  turn: number,
  markers: readonly CardDefinition['markers'][number][],
  squares: readonly Square[],
): readonly Square[] {
  // seen as a parallelogram: the perspective of a blurred or tiny square means nothing
  const c = (i: number): readonly [number, number] => {
    const k = 2 * ((i + turn) & 3);
    return [seed.corners[k], seed.corners[k + 1]];
  };
  const mm = cornersMm(marker);
  const width = Math.hypot(mm[2] - mm[0], mm[3] - mm[1]);
  const height = Math.hypot(mm[6] - mm[0], mm[7] - mm[1]);
  const right = [0, 1].map((k) => (c(1)[k] - c(0)[k] + c(2)[k] - c(3)[k]) / 2 / width);
  const down = [0, 1].map((k) => (c(3)[k] - c(0)[k] + c(2)[k] - c(1)[k]) / 2 / height);
  const centre = [0, 1].map((k) => (c(0)[k] + c(1)[k] + c(2)[k] + c(3)[k]) / 4);
  const found = [seed];
  for (const other of markers) {
    if (other === marker) continue;
    const om = cornersMm(other);
    const dx = (om[0] + om[4] - mm[0] - mm[4]) / 2;
    const dy = (om[1] + om[5] - mm[1] - mm[5]) / 2;
    const x = centre[0] + right[0] * dx + down[0] * dy;
    const y = centre[1] + right[1] * dx + down[1] * dy;
    const match = squares.find(
      (s) =>
        !found.includes(s) &&
        Math.abs(Math.log(s.side_px / seed.side_px)) < 0.35 &&
        Math.hypot((s.corners[0] + s.corners[4]) / 2 - x, (s.corners[1] + s.corners[5]) / 2 - y) < s.side_px,
    );
    if (match) found.push(match);
  }
  return found;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1];
}
