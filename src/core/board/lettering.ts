/** Text as outlines, so that a picture looks the same on every machine, whatever fonts it has. */
import opentype, { type Font, type Glyph } from 'opentype.js';

export type Weight = 'regular' | 'bold';

/** Parsed faces per weight, each with fallbacks in order: the first that knows a character draws it. */
export interface Lettering {
  readonly regular: readonly Font[];
  readonly bold: readonly Font[];
}

/** Bytes of WOFF, TTF or OTF files per weight, in order of preference. */
export interface FontFiles {
  readonly regular: readonly Uint8Array[];
  readonly bold: readonly Uint8Array[];
}

export function parseLettering({ regular, bold }: FontFiles): Lettering {
  const parse = (bytes: Uint8Array): Font => opentype.parse(bytes.slice().buffer);
  return { regular: regular.map(parse), bold: bold.map(parse) };
}

interface SetGlyph {
  readonly glyph: Glyph;
  readonly font: Font;
  /** Offset of the glyph's origin and its advance, in ems. */
  readonly x: number;
  readonly advance: number;
}

/** Sets a line: kerned, digits all as wide as a zero so that columns of figures stand straight. */
function setLine(fonts: readonly Font[], text: string): { glyphs: SetGlyph[]; width: number } {
  const glyphs: SetGlyph[] = [];
  let width = 0;
  for (const character of text) {
    const font = fonts.find((f) => f.charToGlyphIndex(character) > 0) ?? fonts[0];
    const glyph = font.charToGlyph(character);
    const em = font.unitsPerEm;
    const own = (glyph.advanceWidth ?? 0) / em;
    const last = glyphs[glyphs.length - 1];
    const isDigit = character >= '0' && character <= '9';
    if (isDigit) {
      const advance = (font.charToGlyph('0').advanceWidth ?? 0) / em;
      glyphs.push({ glyph, font, x: width + (advance - own) / 2, advance });
      width += advance;
      continue;
    }
    if (last && last.font === font) width += font.getKerningValue(last.glyph, glyph) / em;
    glyphs.push({ glyph, font, x: width, advance: own });
    width += own;
  }
  return { glyphs, width };
}

/** Width of a line of text, in the unit of `size`. */
export function textWidth(lettering: Lettering, text: string, size: number, weight: Weight): number {
  return size * setLine(lettering[weight], text).width;
}

/** SVG path data of a line of text whose baseline starts at (x, y). */
export function textPath(
  lettering: Lettering,
  text: string,
  x: number,
  y: number,
  size: number,
  weight: Weight,
): string {
  return setLine(lettering[weight], text)
    .glyphs.map(({ glyph, x: offset }) => glyph.getPath(x + size * offset, y, size).toPathData(2))
    .join('');
}

/** Breaks text into at most `most` lines no wider than `width`; what doesn't fit ends in an ellipsis. */
export function wrapText(
  lettering: Lettering,
  text: string,
  size: number,
  weight: Weight,
  width: number,
  most: number,
): string[] {
  const fits = (line: string): boolean => textWidth(lettering, line, size, weight) <= width;
  const lines: string[] = [];
  let line = '';
  const words = text.split(/[ \t\r\n]+/).filter(Boolean);
  for (const [i, word] of words.entries()) {
    const longer = line ? `${line} ${word}` : word;
    if (fits(longer)) {
      line = longer;
      continue;
    }
    if (lines.length === most - 1) return [...lines, shortened([line, ...words.slice(i)].join(' '), fits)];
    if (line) lines.push(line);
    line = word;
  }
  return line ? [...lines, fits(line) ? line : shortened(line, fits)] : lines;
}

function shortened(line: string, fits: (line: string) => boolean): string {
  let characters = [...line.trim()];
  while (characters.length > 1 && !fits(`${characters.join('').trimEnd()}…`))
    characters = characters.slice(0, -1);
  return `${characters.join('').trimEnd()}…`;
}
