/** Writes the project's own card and strips beside this script: `npx tsx calibration/cards/make-own-card.ts`. */
import { writeFileSync } from 'node:fs';
import { CARD_LAYOUT, STRIP_LAYOUTS } from '../../src/core/card/layout.ts';
import { definitionOfLayout, definitionText } from '../../src/core/card/make-definition.ts';

const files = [
  ['sprayout-a6', CARD_LAYOUT],
  ['sprayout-strip-1', STRIP_LAYOUTS[0]],
  ['sprayout-strip-2', STRIP_LAYOUTS[1]],
] as const;

for (const [file, layout] of files) {
  const url = new URL(`./${file}.card.json`, import.meta.url);
  writeFileSync(url, definitionText(definitionOfLayout(layout)));
}
