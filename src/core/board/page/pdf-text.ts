/** Lines of text on a PDF page: live, in embedded and subset fonts; characters that no face has stand as boxes. */
import {
  beginText,
  endText,
  PDFArray,
  PDFHexString,
  PDFName,
  PDFNumber,
  PDFOperator,
  PDFOperatorNames,
  type PDFPage,
  rectangle,
  setCharacterSqueeze,
  setFontAndSize,
  setLineWidth,
  setStrokingGrayscaleColor,
  setTextMatrix,
  setTextRenderingMode,
  stroke,
  TextRenderingMode,
} from 'pdf-lib';
import { MISSING_BOX, type SetGlyph, setLine, type Weight } from '../lettering.ts';
import type { PageItem } from './display.ts';
import { fontOf, type Press } from './pdf-press.ts';
import { fillColour } from './pdf-shapes.ts';

export async function printText(
  press: Press,
  page: PDFPage,
  item: Extract<PageItem, { kind: 'text' }>,
): Promise<PDFOperator[]> {
  const { text, size, weight, y, align } = item;
  const { glyphs, width } = setLine(press.lettering, weight, text);
  const x = align === 'end' ? item.x - size * width : item.x;
  const out: PDFOperator[] = [fillColour(item.fill)];
  for (let i = 0; i < glyphs.length; ) {
    let end = i + 1;
    while (end < glyphs.length && glyphs[end].face === glyphs[i].face) end++;
    const run = glyphs.slice(i, end);
    const face = run[0].face;
    if (face === undefined) out.push(...(await missing(press, page, run, x, y, size, weight)));
    else out.push(...(await shown(press, page, run, face, x, y, size, weight)));
    i = end;
  }
  return out;
}

/** What a box stands for, for copying and searching (ISO 32000-2, 14.9.4); readers put characters in order by their places. */
function actualText(text: string): PDFOperator {
  return PDFOperator.of(PDFOperatorNames.BeginMarkedContentSequence, [
    PDFName.of('Span'),
    `<</ActualText ${PDFHexString.fromText(text).toString()}>>`,
  ]);
}

async function shown(
  press: Press,
  page: PDFPage,
  run: readonly SetGlyph[],
  face: number,
  x: number,
  y: number,
  size: number,
  weight: Weight,
): Promise<PDFOperator[]> {
  const { font, name } = await fontOf(press, page, weight, face);
  const em = press.lettering[weight][face].unitsPerEm;
  const array = PDFArray.withContext(press.pdf.context);
  run.forEach(({ character, glyph, x: at }, i) => {
    array.push(font.encodeText(character));
    const next = run[i + 1];
    if (!next) return;
    // where the next glyph would come by itself, less where it belongs, in thousandths of an em
    const gap = Math.round(1000 * (at + (glyph.advanceWidth ?? 0) / em - next.x));
    if (gap !== 0) array.push(PDFNumber.of(gap));
  });
  return [
    beginText(),
    setFontAndSize(name, size),
    setTextMatrix(1, 0, 0, -1, x + size * run[0].x, y),
    PDFOperator.of(PDFOperatorNames.ShowTextAdjusted, [array]),
    endText(),
  ];
}

/** Boxes for characters that no face has, each with an unseen space that carries the character. */
async function missing(
  press: Press,
  page: PDFPage,
  run: readonly SetGlyph[],
  x: number,
  y: number,
  size: number,
  weight: Weight,
): Promise<PDFOperator[]> {
  const { font, name } = await fontOf(press, page, weight, 0);
  return run.flatMap((glyph) => {
    const left = x + size * glyph.x;
    const { x: inset, width, height, line } = MISSING_BOX;
    return [
      setStrokingGrayscaleColor(0),
      setLineWidth(size * line),
      rectangle(
        left + size * (inset + line / 2),
        y - size * (height - line / 2),
        size * (width - line),
        size * (height - line),
      ),
      stroke(),
      actualText(glyph.character),
      beginText(),
      setTextRenderingMode(TextRenderingMode.Invisible),
      // as wide as the box, or a reader takes the rest for a gap between words
      setCharacterSqueeze((100 * MISSING_BOX.advance) / font.widthOfTextAtSize(' ', 1)),
      setFontAndSize(name, size),
      setTextMatrix(1, 0, 0, -1, left, y),
      PDFOperator.of(PDFOperatorNames.ShowText, [font.encodeText(' ')]),
      setCharacterSqueeze(100),
      setTextRenderingMode(TextRenderingMode.Fill),
      endText(),
      PDFOperator.of(PDFOperatorNames.EndMarkedContent),
    ];
  });
}
