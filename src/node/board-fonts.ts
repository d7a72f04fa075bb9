import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { type BoardFonts, parseLettering } from '../core/board/index.ts';

/** Parts of the typeface, in the order they are asked for a character. */
const SUBSETS = [
  'latin',
  'latin-ext',
  'greek',
  'cyrillic',
  'cyrillic-ext',
  'vietnamese',
  'greek-ext',
] as const;

let fonts: Promise<BoardFonts> | undefined;

/** The typeface of pictures and boards, from the package's own files; read once. */
export function boardFonts(): Promise<BoardFonts> {
  const require = createRequire(import.meta.url);
  const face = (weight: number): Promise<Uint8Array[]> =>
    Promise.all(
      SUBSETS.map((subset) =>
        readFile(require.resolve(`@fontsource/inter/files/inter-${subset}-${weight}-normal.woff`)),
      ),
    );
  fonts ??= Promise.all([face(400), face(600)]).then(([regular, bold]) => {
    const files = { regular, bold };
    return { files, lettering: parseLettering(files) };
  });
  return fonts;
}
