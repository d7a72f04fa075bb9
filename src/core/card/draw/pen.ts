import {
  appendBezierCurve,
  beginText,
  closePath,
  endText,
  fill,
  lineTo,
  moveTo,
  type PDFFont,
  type PDFOperator,
  popGraphicsState,
  pushGraphicsState,
  setFillingGrayscaleColor,
  setFillingRgbColor,
  setFontAndSize,
  setLineWidth,
  setStrokingGrayscaleColor,
  setTextMatrix,
  showText,
  stroke,
  translate,
} from 'pdf-lib';
import type { PointMm } from '../../photo/types.ts';
import type { DeviceRgb } from '../device-colour.ts';
import type { PolygonMm } from '../overlap.ts';

/** Strokes of the pen as PDF operators, in millimetres from a top left corner; every page is set up for them. */
export type Strokes = readonly PDFOperator[];

/** A grey of the printer's black alone (0 black, 1 paper), or an sRGB colour. */
export type Ink = number | DeviceRgb;

/** A font under the name that the pages know it by. */
export interface Typeface {
  readonly name: string;
  readonly font: PDFFont;
}
export interface Typefaces {
  readonly plain: Typeface;
  readonly bold: Typeface;
}

export const POINTS_PER_MM = 72 / 25.4;
/** Cap height of Helvetica to its size. */
const CAP_HEIGHT = 0.718;

/** Draws with the origin moved to `at_mm`. */
export function movedTo(at_mm: PointMm, strokes: Strokes): Strokes {
  return [pushGraphicsState(), translate(at_mm[0], at_mm[1]), ...strokes, popGraphicsState()];
}

function fillInk(ink: Ink): PDFOperator {
  return typeof ink === 'number'
    ? setFillingGrayscaleColor(ink)
    : setFillingRgbColor(ink[0] / 255, ink[1] / 255, ink[2] / 255);
}

/** Areas filled as one path, so that no seam shows where they touch. */
export function filled(polygons: readonly PolygonMm[], ink: Ink): Strokes {
  const paths = polygons.flatMap(([first, ...others]) => [
    moveTo(first[0], first[1]),
    ...others.map(([x, y]) => lineTo(x, y)),
    closePath(),
  ]);
  return [fillInk(ink), ...paths, fill()];
}

/** Straight lines, each from one point to another. */
export function lines(ends: readonly (readonly [PointMm, PointMm])[], width_mm: number, grey = 0): Strokes {
  const paths = ends.flatMap(([a, b]) => [moveTo(a[0], a[1]), lineTo(b[0], b[1])]);
  return [setStrokingGrayscaleColor(grey), setLineWidth(width_mm), ...paths, stroke()];
}

/** The outline of an area with rounded corners. */
export function roundedOutline(
  [x, y, w, h]: readonly [number, number, number, number],
  radius_mm: number,
  width_mm: number,
  grey: number,
): Strokes {
  const r = radius_mm;
  const k = r * 0.44772;
  return [
    setStrokingGrayscaleColor(grey),
    setLineWidth(width_mm),
    moveTo(x + r, y),
    lineTo(x + w - r, y),
    appendBezierCurve(x + w - k, y, x + w, y + k, x + w, y + r),
    lineTo(x + w, y + h - r),
    appendBezierCurve(x + w, y + h - k, x + w - k, y + h, x + w - r, y + h),
    lineTo(x + r, y + h),
    appendBezierCurve(x + k, y + h, x, y + h - k, x, y + h - r),
    lineTo(x, y + r),
    appendBezierCurve(x, y + k, x + k, y, x + r, y),
    closePath(),
    stroke(),
  ];
}

/** Where a text stands: its baseline's start, middle or end at a point. */
export type TextAlign = 'start' | 'middle' | 'end';

export interface TextStyle {
  readonly face: Typeface;
  /** Height of capitals. */
  readonly cap_mm: number;
  readonly grey?: number;
  readonly align?: TextAlign;
}

/** Width of a text, mm. */
export function textWidth(text: string, { face, cap_mm }: TextStyle): number {
  return face.font.widthOfTextAtSize(printable(text), cap_mm / CAP_HEIGHT);
}

/** The style, made smaller where the text would be wider than `width_mm`. */
export function fitted(text: string, width_mm: number, style: TextStyle): TextStyle {
  return { ...style, cap_mm: style.cap_mm * Math.min(1, width_mm / Math.max(textWidth(text, style), 1e-6)) };
}

/** One line of text with its baseline at `at_mm`; characters that the standard fonts lack become `?`. */
export function textLine(text: string, at_mm: PointMm, style: TextStyle): Strokes {
  const share = { start: 0, middle: 0.5, end: 1 }[style.align ?? 'start'];
  const x = at_mm[0] - (share === 0 ? 0 : share * textWidth(text, style));
  return [
    setFillingGrayscaleColor(style.grey ?? 0),
    beginText(),
    setFontAndSize(style.face.name, style.cap_mm / CAP_HEIGHT),
    setTextMatrix(1, 0, 0, -1, x, at_mm[1]),
    showText(style.face.font.encodeText(printable(text))),
    endText(),
  ];
}

/** Text broken at spaces into lines of at most `width_mm`. */
export function wrapped(text: string, width_mm: number, style: TextStyle): readonly string[] {
  const rows: string[] = [];
  let row = '';
  for (const word of text.split(' ')) {
    const longer = row === '' ? word : `${row} ${word}`;
    if (row !== '' && textWidth(longer, style) > width_mm) {
      rows.push(row);
      row = word;
    } else row = longer;
  }
  return [...rows, row];
}

/** The characters of the PDF standard fonts (WinAnsi) beside Latin-1. */
const BEYOND_LATIN_1 = /[–—‘’“”•…€™]/;

function printable(text: string): string {
  return Array.from(text, (c) => (/[\x20-\x7e\xa1-\xff]/.test(c) || BEYOND_LATIN_1.test(c) ? c : '?')).join(
    '',
  );
}
