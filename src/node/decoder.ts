import { createRequire } from 'node:module';
import type sharp from 'sharp';

/**
 * Loads the decoder, when it is first needed, in its CommonJS form: Node takes three times as long over the ES module,
 * which is longer than decoding takes.
 */
export function loadDecoder(): typeof sharp {
  return createRequire(import.meta.url)('sharp') as typeof sharp;
}
