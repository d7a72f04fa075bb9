/** Text set from font files, so that a picture or a page looks the same on every machine, whatever fonts it has. */
import opentype from 'opentype.js';
import { visualOrder, withoutIsolates } from './bidi.ts';

export type Weight = 'regular' | 'bold';

/** A parsed face and a glyph of it, as far as they are asked: the parser's own types stay out of the library's. */
interface Face {
  readonly unitsPerEm: number;
  charToGlyphIndex(character: string): number;
  charToGlyph(character: string): Glyph;
  getKerningValue(left: number, right: number): number;
}
interface Glyph {
  readonly index: number;
  readonly advanceWidth?: number | undefined;
  getPath(x: number, y: number, size: number): { toPathData(digits: number): string };
}

/** Parsed faces per weight, each with fallbacks in order: the first that knows a character draws it. */
export interface Lettering {
  readonly regular: readonly Face[];
  readonly bold: readonly Face[];
  /** Figures all as wide as a zero, for columns of them, or as drawn, for prose. `tabular` when left out. */
  readonly figures?: 'tabular' | 'proportional';
}

/** Bytes of WOFF, TTF or OTF files per weight, in order of preference. */
export interface FontFiles {
  readonly regular: readonly Uint8Array[];
  readonly bold: readonly Uint8Array[];
}

/** The typeface: its files, which documents carry, and the same parsed. */
export interface BoardFonts {
  readonly files: FontFiles;
  readonly lettering: Lettering;
}

export function parseLettering({ regular, bold }: FontFiles): Lettering {
  const parse = (bytes: Uint8Array): Face => opentype.parse(bytes.slice().buffer);
  return { regular: regular.map(parse), bold: bold.map(parse) };
}

/** One character as set. */
export interface SetGlyph {
  readonly character: string;
  /** Index of the face among those of the weight; undefined where none has the character and a box stands for it. */
  readonly face: number | undefined;
  readonly glyph: Glyph;
  /** Offset of the glyph's origin and its advance, in ems. */
  readonly x: number;
  readonly advance: number;
}

export interface SetLine {
  readonly glyphs: readonly SetGlyph[];
  /** In ems. */
  readonly width: number;
}

/** Size and place of the box that stands for a character no face has, in ems. */
export const MISSING_BOX = { x: 0.08, width: 0.44, height: 0.72, line: 0.05, advance: 0.6 } as const;

/** Joiners and variation selectors: they show in what stands beside them, if at all. */
const UNSEEN = /\p{Cf}|\p{Variation_Selector}/u;

/** Sets a line in visual order, kerned. */
export function setLine(lettering: Lettering, weight: Weight, text: string): SetLine {
  const fonts = lettering[weight];
  const isTabular = lettering.figures !== 'proportional';
  const glyphs: SetGlyph[] = [];
  let width = 0;
  for (const character of visualOrder(text)) {
    if (UNSEEN.test(character)) continue;
    const known = fonts.findIndex((f) => f.charToGlyphIndex(character) > 0);
    const font = fonts[Math.max(known, 0)];
    const glyph = font.charToGlyph(character);
    if (known < 0) {
      glyphs.push({ character, face: undefined, glyph, x: width, advance: MISSING_BOX.advance });
      width += MISSING_BOX.advance;
      continue;
    }
    const em = font.unitsPerEm;
    const own = (glyph.advanceWidth ?? 0) / em;
    const last = glyphs[glyphs.length - 1];
    if (isTabular && character >= '0' && character <= '9') {
      const advance = (font.charToGlyph('0').advanceWidth ?? 0) / em;
      glyphs.push({ character, face: known, glyph, x: width + (advance - own) / 2, advance });
      width += advance;
      continue;
    }
    if (last && last.face === known) width += font.getKerningValue(last.glyph.index, glyph.index) / em;
    glyphs.push({ character, face: known, glyph, x: width, advance: own });
    width += own;
  }
  return { glyphs, width };
}

/** Width of a line of text, in the unit of `size`. */
export function textWidth(lettering: Lettering, text: string, size: number, weight: Weight): number {
  return size * setLine(lettering, weight, text).width;
}

/** SVG path data of a line of text whose baseline starts at (x, y). */
export function textPath(
  lettering: Lettering,
  text: string,
  x: number,
  y: number,
  size: number,
  weight: Weight,
  digits = 2,
): string {
  return setLine(lettering, weight, text)
    .glyphs.map(({ glyph, face, x: offset }) =>
      face === undefined
        ? missingBox(x + size * offset, y, size, digits)
        : glyph.getPath(x + size * offset, y, size).toPathData(digits),
    )
    .join('');
}

function missingBox(x: number, y: number, size: number, digits: number): string {
  const { x: left, width, height, line } = MISSING_BOX;
  const n = (v: number): string => v.toFixed(digits);
  const box = (inset: number): string =>
    `M${n(x + size * (left + inset))} ${n(y - size * inset)}h${n(size * (width - 2 * inset))}v${n(-size * (height - 2 * inset))}h${n(-size * (width - 2 * inset))}z`;
  const hole = `M${n(x + size * (left + line))} ${n(y - size * line)}v${n(-size * (height - 2 * line))}h${n(size * (width - 2 * line))}v${n(size * (height - 2 * line))}z`;
  return box(0) + hole;
}

/** Characters of texts that no face of a weight has, each once. */
export function missingCharacters(lettering: Lettering, texts: readonly string[]): string[] {
  const missing = new Set<string>();
  for (const text of texts)
    for (const c of withoutIsolates(text))
      if (/\S/.test(c) && !UNSEEN.test(c) && !lettering.regular.some((f) => f.charToGlyphIndex(c) > 0))
        missing.add(c);
  return [...missing];
}

/**
 * Breaks text into at most `most` lines no wider than `width`; a word wider than a line is broken, and what doesn't fit ends
 * in an ellipsis.
 */
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
  const pieces = wordsOf(text).flatMap((word) => piecesOf(word, fits));
  const withPiece = (start: string, piece: Piece): string =>
    start ? `${start}${piece.isJoined ? '' : ' '}${piece.text}` : piece.text;
  for (const [i, piece] of pieces.entries()) {
    const longer = withPiece(line, piece);
    if (fits(longer)) {
      line = longer;
      continue;
    }
    if (lines.length === most - 1)
      return [...lines, shortened(pieces.slice(i).reduce(withPiece, line), fits)].map(closed);
    if (line) lines.push(line);
    line = piece.text;
  }
  return (line ? [...lines, fits(line) ? line : shortened(line, fits)] : lines).map(closed);
}

function wordsOf(text: string): string[] {
  return text.split(/[ \t\r\n]+/).filter(Boolean);
}

/** A word, or a piece of one that is wider than a line; the pieces after its first join on without a space. */
interface Piece {
  readonly text: string;
  readonly isJoined: boolean;
}

function piecesOf(word: string, fits: (line: string) => boolean): Piece[] {
  if (fits(word)) return [{ text: word, isJoined: false }];
  const texts: string[] = [];
  let text = '';
  for (const c of word) {
    if (text && !fits(text + c)) {
      texts.push(text);
      text = '';
    }
    text += c;
  }
  return [...texts, text].map((t, i) => ({ text: t, isJoined: i > 0 }));
}

/** A line that breaks off inside an isolated stretch, or begins inside one, with the stretch closed on that line. */
function closed(line: string): string {
  const opens = (line.match(/\u2068/g) ?? []).length;
  const closes = (line.match(/\u2069/g) ?? []).length;
  if (opens === closes) return line;
  return opens > closes ? `${line}\u2069` : `\u2068${line}`;
}

/** As many characters of a line as fit with an ellipsis, one at least; a longer beginning is never narrower. */
function shortened(line: string, fits: (line: string) => boolean): string {
  const characters = [...line.trim()];
  const cut = (count: number): string => `${characters.slice(0, count).join('').trimEnd()}…`;
  let [fitting, tooMany] = [1, characters.length + 1];
  while (tooMany - fitting > 1) {
    const middle = (fitting + tooMany) >> 1;
    if (fits(cut(middle))) fitting = middle;
    else tooMany = middle;
  }
  return cut(fitting);
}
