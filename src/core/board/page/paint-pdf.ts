/** Pages as a PDF: live text in embedded, subset fonts, pictures with their own profiles, colours in sRGB by a profile. */
import fontkit from '@pdf-lib/fontkit';
import {
  beginText,
  clip,
  closePath,
  concatTransformationMatrix,
  drawObject,
  endPath,
  endText,
  fill,
  lineTo,
  moveTo,
  PDFArray,
  PDFDocument,
  type PDFFont,
  PDFHexString,
  PDFName,
  PDFNumber,
  PDFOperator,
  PDFOperatorNames,
  type PDFPage,
  type PDFRef,
  popGraphicsState,
  pushGraphicsState,
  rectangle,
  setCharacterSqueeze,
  setFillingGrayscaleColor,
  setFillingRgbColor,
  setFontAndSize,
  setLineWidth,
  setStrokingGrayscaleColor,
  setStrokingRgbColor,
  setTextMatrix,
  setTextRenderingMode,
  stroke,
  TextRenderingMode,
} from 'pdf-lib';
import { type OutputSpaceName, outputProfile } from '../crop/index.ts';
import type { BoardPicture } from '../document.ts';
import {
  type FontFiles,
  type Lettering,
  MISSING_BOX,
  type SetGlyph,
  setLine,
  type Weight,
} from '../lettering.ts';
import type { Page, PageItem } from './display.ts';

const POINTS_PER_MM = 72 / 25.4;

export interface PdfFacts {
  readonly title: string;
  readonly author: string | undefined;
  readonly subject: string;
}

/** Fonts and what has been made of them in one PDF. */
interface Press {
  readonly pdf: PDFDocument;
  readonly files: FontFiles;
  readonly lettering: Lettering;
  readonly fonts: Map<string, PDFFont>;
  readonly pictures: Map<BoardPicture, PDFRef>;
  readonly profiles: Map<OutputSpaceName, PDFRef>;
}

/** The bytes of a PDF; the same pages give the same bytes. */
export async function pagesPdf(
  pages: readonly Page[],
  files: FontFiles,
  lettering: Lettering,
  facts: PdfFacts,
): Promise<Uint8Array> {
  const pdf = await PDFDocument.create({ updateMetadata: false });
  pdf.registerFontkit(fontkit);
  pdf.setTitle(facts.title, { showInWindowTitleBar: true });
  if (facts.author) pdf.setAuthor(facts.author);
  pdf.setSubject(facts.subject);
  pdf.setProducer('sprayout');
  pdf.setCreator('sprayout');
  pdf.setLanguage('en');
  const press: Press = {
    pdf,
    files,
    lettering,
    fonts: new Map(),
    pictures: new Map(),
    profiles: new Map(),
  };
  for (const page of pages) await printPage(press, page);
  return pdf.save();
}

async function printPage(press: Press, { width_mm, height_mm, paper, items }: Page): Promise<void> {
  const page = press.pdf.addPage([width_mm * POINTS_PER_MM, height_mm * POINTS_PER_MM]);
  const srgb = press.pdf.context.obj(['ICCBased', profileOf(press, 'sRGB')]);
  page.node.Resources()?.set(PDFName.of('ColorSpace'), press.pdf.context.obj({ DefaultRGB: srgb }));
  page.pushOperators(
    concatTransformationMatrix(POINTS_PER_MM, 0, 0, -POINTS_PER_MM, 0, height_mm * POINTS_PER_MM),
  );
  if (paper !== '#ffffff')
    page.pushOperators(fillColour(paper), rectangle(0, 0, width_mm, height_mm), fill());
  for (const item of items) page.pushOperators(...(await printed(press, page, item)));
}

async function printed(press: Press, page: PDFPage, item: PageItem): Promise<PDFOperator[]> {
  switch (item.kind) {
    case 'area':
      return [fillColour(item.fill), ...boxPath(item, item.radius ?? 0), fill()];
    case 'outline':
      return [
        strokeColour(item.stroke),
        setLineWidth(item.line),
        ...boxPath(item, item.radius ?? 0),
        stroke(),
      ];
    case 'picture':
      return printPicture(press, page, item);
    case 'text':
      return printText(press, page, item);
    case 'modules':
      return printModules(item);
  }
}

function channels(hex: string): readonly [number, number, number] {
  const n = Number.parseInt(hex.slice(1), 16);
  return [(n >> 16) / 255, ((n >> 8) & 255) / 255, (n & 255) / 255];
}

/** Greys are the printer's black alone. */
function fillColour(hex: string): PDFOperator {
  const [r, g, b] = channels(hex);
  return r === g && g === b ? setFillingGrayscaleColor(r) : setFillingRgbColor(r, g, b);
}

function strokeColour(hex: string): PDFOperator {
  const [r, g, b] = channels(hex);
  return r === g && g === b ? setStrokingGrayscaleColor(r) : setStrokingRgbColor(r, g, b);
}

/** A quarter circle as straight steps would show; as a Bézier curve of this reach it does not. */
const ROUND = 0.5522848;

function boxPath(
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

function profileOf({ pdf, profiles }: Press, space: OutputSpaceName): PDFRef {
  const known = profiles.get(space);
  if (known) return known;
  const ref = pdf.context.register(
    pdf.context.flateStream(outputProfile(space), { N: 3, Alternate: 'DeviceRGB' }),
  );
  profiles.set(space, ref);
  return ref;
}

async function printPicture(
  press: Press,
  page: PDFPage,
  { x, y, width, height, picture }: Extract<PageItem, { kind: 'picture' }>,
): Promise<PDFOperator[]> {
  const ref = await pictureRef(press, picture);
  const name = page.node.newXObject('Picture', ref);
  const scale = Math.max(width / picture.width_px, height / picture.height_px);
  const [w, h] = [scale * picture.width_px, scale * picture.height_px];
  const [left, top] = [x + (width - w) / 2, y + (height - h) / 2];
  return [
    pushGraphicsState(),
    rectangle(x, y, width, height),
    clip(),
    endPath(),
    // a picture is drawn upwards into the unit square
    concatTransformationMatrix(w, 0, 0, -h, left, top + h),
    drawObject(name),
    popGraphicsState(),
  ];
}

async function pictureRef(press: Press, picture: BoardPicture): Promise<PDFRef> {
  const known = press.pictures.get(picture);
  if (known) return known;
  const { pdf } = press;
  const ref =
    picture.mime === 'image/jpeg'
      ? pdf.context.register(
          pdf.context.stream(picture.bytes, {
            Type: 'XObject',
            Subtype: 'Image',
            Width: picture.width_px,
            Height: picture.height_px,
            BitsPerComponent: 8,
            ColorSpace: ['ICCBased', profileOf(press, picture.space)],
            Filter: 'DCTDecode',
            Interpolate: true,
          }),
        )
      : (await pdf.embedPng(picture.bytes)).ref;
  press.pictures.set(picture, ref);
  return ref;
}

function printModules({ x, y, side, modules }: Extract<PageItem, { kind: 'modules' }>): PDFOperator[] {
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

async function printText(
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

async function fontOf(
  { pdf, files, fonts }: Press,
  page: PDFPage,
  weight: Weight,
  face: number,
): Promise<{ readonly font: PDFFont; readonly name: string }> {
  const name = `${weight === 'bold' ? 'Bold' : 'Plain'}${face}`;
  let font = fonts.get(name);
  if (!font) {
    font = await pdf.embedFont(files[weight][face], {
      subset: true,
      features: { calt: false, liga: false },
    });
    fonts.set(name, font);
  }
  page.node.setFontDictionary(PDFName.of(name), font.ref);
  return { font, name };
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
