/** What a small copy of a photo shows, while the photo itself is still being decoded. */
import { enlargedTags, findCards, seeTags, type TagsSeen } from '../card/find/index.ts';
import { prepareCorrection } from '../correction/index.ts';
import { SprayoutError } from '../errors.ts';
import { type FoundPanel, findPanels } from '../panel/index.ts';
import { isPlainBench } from '../panel/plain-bench.ts';
import type { Raster } from '../photo/types.ts';
import { type CardOptions, cardAndStrips } from './read-card.ts';

/** About where the card and the panels lie. */
export interface FirstLook {
  /** Places in the photo. */
  readonly tags: TagsSeen;
  /** Places in the small copy, `tags.factor` times smaller. */
  readonly panels: readonly FoundPanel[];
  /** True when the panels found lie alone and even on a plain bench. */
  readonly isPlain: boolean;
}

/** The card, and whether panels are given, so that none have to be found. */
interface LookOptions extends CardOptions {
  readonly panels?: object | undefined;
}

/**
 * Looks for the card and the panels in a copy of a photo that is `factor` times smaller. Undefined when the card can't
 * be found in it by its markers: then the photo itself has to be searched, and tells what is wrong. What the correction
 * needs of the cards seen is worked out on the way.
 */
export function lookFirst(copy: Raster, factor: number, options: LookOptions = {}): FirstLook | undefined {
  if (options.corners_px) return undefined;
  const inCopy = seeTags(copy);
  try {
    const cards = findCards(copy, cardAndStrips(options.card), inCopy);
    prepareCorrection(
      cards[0].definition.white,
      cards.flatMap((c) => c.definition.patches),
    );
    const tags = enlargedTags(inCopy, factor);
    if (options.panels) return { tags, panels: [], isPlain: false };
    const panels = findPanels(copy, cards);
    const isPlain = isPlainBench(
      copy,
      cards.map((c) => c.corners_px),
      panels.map((p) => p.corners_px),
    );
    return { tags, panels, isPlain };
  } catch (error) {
    if (error instanceof SprayoutError) return undefined;
    throw error;
  }
}
