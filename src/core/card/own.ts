import card from '../../../calibration/cards/sprayout-a6.card.json' with { type: 'json' };
import strip1 from '../../../calibration/cards/sprayout-strip-1.card.json' with { type: 'json' };
import strip2 from '../../../calibration/cards/sprayout-strip-2.card.json' with { type: 'json' };
import type { CardDefinition } from './types.ts';

// the files ship with the program: tests hold them against the schema, so that not every start has to

/** The project's own card as printed, never measured. */
export const OWN_CARD = card as unknown as CardDefinition;

/** The two grey strips printed on the same sheet, to lie beyond the panels. */
export const OWN_STRIPS = [strip1, strip2] as unknown as readonly CardDefinition[];

/** Whether a card has the project's own markers in their places, whatever its colours. */
export function isOwnLayout(card: CardDefinition): boolean {
  return JSON.stringify(card.markers) === JSON.stringify(OWN_CARD.markers);
}

const strips = new WeakMap<CardDefinition, readonly CardDefinition[]>();

/**
 * The strips as printed on one sheet with `card`: their patches take the colours of the patches that they repeat, so
 * that a card measured by an instrument has measured strips. The same card has the same strips.
 */
export function stripsBeside(card: CardDefinition): readonly CardDefinition[] {
  const known = strips.get(card);
  if (known) return known;
  const made = stripsOf(card);
  strips.set(card, made);
  return made;
}

function stripsOf(card: CardDefinition): readonly CardDefinition[] {
  const colours = new Map(card.patches.map((p) => [p.id, p]));
  return OWN_STRIPS.map((strip) => {
    const patches = strip.patches.map((own) => {
      const { lab, spectrum, u } = colours.get(own.replicate_of ?? '') ?? own;
      const { lab: _lab, spectrum: _spectrum, ...rest } = own;
      return { ...rest, ...(lab ? { lab } : {}), ...(spectrum ? { spectrum } : {}), u };
    });
    return { ...strip, white: card.white, source: card.source, patches };
  });
}
