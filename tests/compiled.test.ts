import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { compiledText } from '../compiled/compile.ts';

it.each(['jpeg-rounding', 'area-pixels', 'tags', 'card-fit', 'panel-maps', 'panel-edges', 'colour-map'])(
  'the compiled code of %s is what its source compiles to',
  async (folder) => {
    const held = new URL(`../compiled/${folder}/wasm.ts`, import.meta.url);
    expect(readFileSync(held, 'utf8')).toBe(await compiledText(folder));
  },
);
