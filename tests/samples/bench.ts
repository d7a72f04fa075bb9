import { readFileSync } from 'node:fs';
import { type CardDefinition, cardSchema } from '../../shared/schemas/card.ts';

/** A card definition of the project, as the scenes' tests need it. */
export function readCard(name: string): CardDefinition {
  const file = new URL(`../../calibration/cards/${name}.card.json`, import.meta.url);
  return cardSchema.parse(JSON.parse(readFileSync(file, 'utf8')));
}
