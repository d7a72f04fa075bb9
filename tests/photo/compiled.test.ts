import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { compiledText } from '../../decoders/compile.ts';

it.each(['jpeg-rounding', 'area-pixels'])(
  'the compiled code of %s is what its source compiles to',
  async (folder) => {
    const held = new URL(`../../decoders/${folder}/wasm.ts`, import.meta.url);
    expect(readFileSync(held, 'utf8')).toBe(await compiledText(folder));
  },
);
