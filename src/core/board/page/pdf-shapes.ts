/** Colours, boxes and code modules as operators of a PDF page. */
import {
  closePath,
  fill,
  lineTo,
  moveTo,
  PDFNumber,
  PDFOperator,
  PDFOperatorNames,
  rectangle,
  setFillingGrayscaleColor,
  setFillingRgbColor,
  setStrokingGrayscaleColor,
  setStrokingRgbColor,
} from 'pdf-lib';
import type { PageItem } from './display.ts';

function channels(hex: string): readonly [number, number, number] {
  const n = Number.parseInt(hex.slice(1), 16);
  return [(n >> 16) / 255, ((n >> 8) & 255) / 255, (n & 255) / 255];
}

/** Greys are the printer's black alone. */
export function fillColour(hex: string): PDFOperator {
  const [r, g, b] = channels(hex);
  return r === g && g === b ? setFillingGrayscaleColor(r) : setFillingRgbColor(r, g, b);
}

export function strokeColour(hex: string): PDFOperator {
  const [r, g, b] = channels(hex);
  return r === g && g === b ? setStrokingGrayscaleColor(r) : setStrokingRgbColor(r, g, b);
}

/** A quarter circle as straight steps would show; as a Bézier curve of this reach it does not. */
const ROUND = 0.5522848;

export function boxPath(
  { x, y, width: w, height: h }: { x: number; y: number; width: number; height: number },
  radius: number,
): PDFOperator[] {
  const r = Math.min(radius, w / 2, h / 2);
  if (r <= 0) return [rectangle(x, y, w, h)];
  const k = r * (1 - ROUND);
  const curve = (...at: number[]): PDFOperator =>
    PDFOperator.of(
      PDFOperatorNames.AppendBezierCurve,
      at.map((v) => PDFNumber.of(v)),
    );
  return [
    moveTo(x + r, y),
    lineTo(x + w - r, y),
    curve(x + w - k, y, x + w, y + k, x + w, y + r),
    lineTo(x + w, y + h - r),
    curve(x + w, y + h - k, x + w - k, y + h, x + w - r, y + h),
    lineTo(x + r, y + h),
    curve(x + k, y + h, x, y + h - k, x, y + h - r),
    lineTo(x, y + r),
    curve(x, y + k, x + k, y, x + r, y),
    closePath(),
  ];
}

export function printModules({ x, y, side, modules }: Extract<PageItem, { kind: 'modules' }>): PDFOperator[] {
  const step = side / modules.length;
  const dark: PDFOperator[] = [];
  modules.forEach((row, j) => {
    for (let i = 0; i < row.length; i++) {
      if (!row[i]) continue;
      let end = i;
      while (row[end]) end++;
      dark.push(rectangle(x + i * step, y + j * step, (end - i) * step, step));
      i = end;
    }
  });
  return [setFillingGrayscaleColor(0), ...dark, fill()];
}
