import type { CardDefinition } from '../../shared/schemas/card.ts';
import { parseCard } from '../core/card/definition.ts';
import { readJson } from './read-json.ts';

/** Reads a card definition file. Throws what `readJson` and `parseCard` throw. */
export async function readCard(path: string): Promise<CardDefinition> {
  return parseCard(await readJson(path), path);
}
