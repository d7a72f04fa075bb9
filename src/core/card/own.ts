import card from '../../../calibration/cards/sprayout-a6.card.json' with { type: 'json' };
import strip1 from '../../../calibration/cards/sprayout-strip-1.card.json' with { type: 'json' };
import strip2 from '../../../calibration/cards/sprayout-strip-2.card.json' with { type: 'json' };
import { parseCard } from './definition.ts';
import type { CardDefinition } from './types.ts';

/** The project's own card as printed, never measured. */
export const OWN_CARD: CardDefinition = parseCard(card, 'sprayout-a6');

/** The two grey strips printed on the same sheet, to lie beyond the panels. */
export const OWN_STRIPS: readonly CardDefinition[] = [
  parseCard(strip1, 'sprayout-strip-1'),
  parseCard(strip2, 'sprayout-strip-2'),
];
