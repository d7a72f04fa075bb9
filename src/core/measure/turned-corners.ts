/** Corners of a card given from another corner on than its own top left: the turn by which its colours come right. */
import { placeByCorners } from '../card/place.ts';
import type { PlacedCard } from '../card/types.ts';
import { SprayoutError } from '../errors.ts';
import type { QuadPx, Raster } from '../photo/types.ts';

/** Which of the corners given is the card's own top left, in words. */
const WHICH = ['first', 'second', 'third', 'fourth'];

interface Checked {
  readonly correction: { readonly check: { readonly mean_de00: number } };
}

/**
 * The card as `read` reads it with its corners turned, where one turn gives back its colours best. Undefined when none does.
 * Of eight real photographs of a chart each read in its own order and was refused in the three others.
 */
export function readTurned<T extends Checked>(
  { definition, corners_px }: PlacedCard,
  raster: Raster,
  read: (placed: readonly PlacedCard[]) => T,
): { readonly card: T; readonly topLeft: string } | undefined {
  const cards = [1, 2, 3].flatMap((turn) => {
    const card = readOrUndefined(() => read([placeByCorners(definition, turned(corners_px, turn), raster)]));
    return card ? [{ card, topLeft: WHICH[turn] }] : [];
  });
  const missedBy = ({ card }: { readonly card: T }): number => card.correction.check.mean_de00;
  return cards.sort((a, b) => missedBy(a) - missedBy(b))[0];
}

/** The corners from the `turn`th on. */
function turned([a, b, c, d]: QuadPx, turn: number): QuadPx {
  if (turn === 1) return [b, c, d, a];
  return turn === 2 ? [c, d, a, b] : [d, a, b, c];
}

function readOrUndefined<T>(read: () => T): T | undefined {
  try {
    return read();
  } catch (error) {
    if (error instanceof SprayoutError) return undefined;
    throw error;
  }
}
