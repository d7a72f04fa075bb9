/** What a small copy of a photo shows of the card, while the photo itself is still being decoded. */
import { enlargedTags, findCards, seeTags, type TagsSeen } from '../card/find/index.ts';
import { prepareCorrection } from '../correction/index.ts';
import { SprayoutError } from '../errors.ts';
import type { Raster } from '../photo/types.ts';
import { type CardOptions, cardAndStrips } from './read-card.ts';

/**
 * Looks for the card in a copy of a photo that is `factor` times smaller: the tags seen, as they lie in the photo.
 * Undefined when the card can't be found in it by its markers: then the photo itself has to be searched, and tells what
 * is wrong. What the correction needs of the cards seen is worked out on the way.
 */
export function lookFirst(copy: Raster, factor: number, options: CardOptions = {}): TagsSeen | undefined {
  if (options.corners_px) return undefined;
  const inCopy = seeTags(copy);
  try {
    const cards = findCards(copy, cardAndStrips(options.card), inCopy);
    prepareCorrection(
      cards[0].definition.white,
      cards.flatMap((c) => c.definition.patches),
    );
    return enlargedTags(inCopy, factor);
  } catch (error) {
    if (error instanceof SprayoutError) return undefined;
    throw error;
  }
}
