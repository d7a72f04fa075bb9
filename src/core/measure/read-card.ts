/** Reads a photo's card, and the strips that lie beside it, and fits the correction to them. */
import { findCards } from '../card/find/index.ts';
import { isOwnLayout, OWN_CARD, stripsBeside } from '../card/own.ts';
import { patchQuads, placeByCorners } from '../card/place.ts';
import type { CardDefinition, PlacedCard } from '../card/types.ts';
import { correctPhoto, type PatchReading, type PhotoCorrection } from '../correction/index.ts';
import { SprayoutError } from '../errors.ts';
import { quadInsidePhoto } from '../photo/polygon.ts';
import { sampleQuad } from '../photo/sample.ts';
import type { PointMm, QuadPx, Raster, Reading } from '../photo/types.ts';
import { readTurned } from './turned-corners.ts';

/** A photo with its card found and its correction fitted. */
export interface ReadCard {
  readonly placed: readonly PlacedCard[];
  readonly correction: PhotoCorrection;
  readonly patchReadings: readonly Reading[];
  readonly toMm: PlacedCard['toMm'];
  /** Which of the corners given was its top left ("second"), where they were given turned. */
  readonly turned?: string;
}

export interface CardOptions {
  readonly card?: CardDefinition | undefined;
  readonly corners_px?: QuadPx | undefined;
  readonly leave_out?: readonly string[] | undefined;
}

/** Fewest patches, and neutrals among them, that a correction can be fitted to. */
const FEWEST_PATCHES = 6;
/** Mean leave-one-out ΔE2000 from which on it is not this card that was read: a badly taken photo of it stays below ten. */
const ANOTHER_THING = 20;
/** Channels this much alike are one: compression leaves those of a grey no farther apart, dark ones included. */
const NO_COLOUR = 0.02;
/** Share of a patch's pixels that may be glare or dust before the patch is left out. */
const SPOILED = 0.6;

/** The card, the project's own when none is given, and the strips that may lie beside it. */
function cardAndStrips(card: CardDefinition = OWN_CARD): readonly CardDefinition[] {
  return [card, ...(isOwnLayout(card) ? stripsBeside(card) : [])];
}

/** Finds the card (and strips), reads every patch and fits the correction. Throws when the card can't be read. */
export function readCard(raster: Raster, options: CardOptions): ReadCard {
  return readPlacedCards(raster, placeCards(raster, options), options);
}

/** Places of the card and, after it, of the strips found. Throws when the card can't be found. */
export function placeCards(raster: Raster, options: CardOptions): readonly PlacedCard[] {
  const [definition, ...strips] = cardAndStrips(options.card);
  return options.corners_px
    ? [placeByCorners(definition, options.corners_px, raster)]
    : findCards(raster, [definition, ...strips]);
}

/**
 * Reads every patch of the placed card and strips, and fits the correction; a card whose corners were given turned is read
 * as it lies. Throws when the card can't be read.
 */
export function readPlacedCards(
  raster: Raster,
  placed: readonly PlacedCard[],
  options: CardOptions,
): ReadCard {
  try {
    return readAsPlaced(raster, placed, options);
  } catch (error) {
    const [card] = placed;
    const isUnread = error instanceof SprayoutError && error.code === 'card-unreadable';
    if (!isUnread || card.found_by !== 'corners') throw error;
    const turned = readTurned(card, raster, (p) => readAsPlaced(raster, p, options));
    if (turned) return { ...turned.card, turned: turned.topLeft };
    throw error;
  }
}

function readAsPlaced(raster: Raster, placed: readonly PlacedCard[], options: CardOptions): ReadCard {
  const [main] = placed;
  const { definition } = main;
  const read = placed.flatMap((_, sheet) => readPatches(raster, placed, sheet));
  const sound = read.filter(
    (r) => r.reading.pixels >= 12 && r.reading.glareFraction + r.reading.dustFraction < SPOILED,
  );
  const leaveOut = options.leave_out ?? [];
  checkLeftOut(leaveOut, placed);
  needPatches(
    sound.filter((r) => !leaveOut.includes(r.patch.id)),
    definition.name,
  );
  const spoiled = read.filter((r) => !sound.includes(r)).map((r) => r.patch.id);
  needColours(sound, definition.name);
  const correction = correctPhoto(sound, {
    white: definition.white,
    size_mm: definition.size_mm,
    pixels: { bits: raster.bits, profile: raster.profile },
    leaveOut,
    spoiled,
    curl: main.curl,
  });
  if (Number.isNaN(correction.check.mean_de00))
    throw new SprayoutError(
      'card-unreadable',
      `No patch of ${definition.name} can be read in all three colours: a channel of the photo is empty or full throughout.`,
      'Photograph under another light (sodium and coloured lamps leave channels empty), at another exposure.',
    );
  if (correction.check.mean_de00 > ANOTHER_THING)
    throw new SprayoutError(
      'card-unreadable',
      `What lies where ${definition.name} should be has other colours than the card: they come back ${Math.round(correction.check.mean_de00)} ΔE off on average.`,
      main.found_by === 'corners'
        ? "List the card's corners from its own top left on, clockwise as it is printed; and use the card file of this very card."
        : 'Use the card file of this very card, and a photo in colour.',
    );
  return { placed, correction, patchReadings: sound.map((p) => p.reading), toMm: main.toMm };
}

/** Without colours in the photo there is nothing to correct them by: a grey filter, or a grey picture in a colour file. */
function needColours(read: readonly PatchReading[], name: string): void {
  const isGrey = ({ reading: { linear } }: PatchReading): boolean =>
    Math.max(...linear) - Math.min(...linear) <= NO_COLOUR * (Math.max(...linear) + 0.2);
  if (!read.every(isGrey)) return;
  throw new SprayoutError(
    'card-unreadable',
    `This photo has no colour: every patch of ${name} is grey in it.`,
    'Photograph in colour, without a filter for black and white.',
  );
}

function checkLeftOut(ids: readonly string[], placed: readonly PlacedCard[]): void {
  const unknown = ids.find((id) => !placed.some((c) => c.definition.patches.some((p) => p.id === id)));
  if (unknown !== undefined)
    throw new SprayoutError(
      'usage',
      `The card has no patch ${JSON.stringify(unknown)} to leave out.`,
      'See the names of the patches on the printed page.',
    );
}

function needPatches(read: readonly PatchReading[], name: string): void {
  const clipped = read.filter((p) => p.reading.clippedHigh.some((c) => c > 0.5)).length;
  if (read.length > 0 && clipped > read.length / 2)
    throw new SprayoutError(
      'card-clipped',
      `The light patches of ${name} are overexposed: ${clipped} of ${read.length} patches are clipped white.`,
      'Take the photo darker: tap the white of the card before you shoot, or lower the exposure by a stop.',
    );
  if (read.length < FEWEST_PATCHES)
    throw new SprayoutError(
      'card-unreadable',
      `Only ${read.length} patches of ${name} can be used.`,
      'Bring the whole card into the frame, sharp and without a lamp mirrored in it, and check that the card file is the right one.',
    );
}

/** Patches of one of the placed cards that lie inside the photo; positions on the main card's plane. */
function readPatches(raster: Raster, placed: readonly PlacedCard[], sheet: number): PatchReading[] {
  const [main, card] = [placed[0], placed[sheet]];
  return patchQuads(card).flatMap(({ corners_px }, i) => {
    if (!quadInsidePhoto(raster, corners_px)) return [];
    const patch = card.definition.patches[i];
    const [x, y, w, h] = patch.rect_mm;
    const centre: PointMm = [x + w / 2, y + h / 2];
    const at_mm = card === main ? centre : main.toMm(card.toPx(centre));
    return [{ patch, sheet, reading: sampleQuad(raster, corners_px), at_mm }];
  });
}
