/** Pages as a PDF: live text in embedded, subset fonts, pictures with their own profiles, colours in sRGB by a profile. */
import fontkit from '@pdf-lib/fontkit';
import {
  clip,
  concatTransformationMatrix,
  drawObject,
  endPath,
  fill,
  PDFDocument,
  PDFName,
  type PDFOperator,
  type PDFPage,
  type PDFRef,
  popGraphicsState,
  pushGraphicsState,
  rectangle,
  setLineWidth,
  stroke,
} from 'pdf-lib';
import type { FontFiles, Lettering } from '../lettering.ts';
import type { BoardPicture } from '../types.ts';
import type { Page, PageItem } from './display.ts';
import { type Press, profileOf } from './pdf-press.ts';
import { boxPath, fillColour, printModules, strokeColour } from './pdf-shapes.ts';
import { printText } from './pdf-text.ts';

const POINTS_PER_MM = 72 / 25.4;

export interface PdfFacts {
  readonly title: string;
  readonly author: string | undefined;
  readonly subject: string;
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
