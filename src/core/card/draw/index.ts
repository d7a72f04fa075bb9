/** The printable card. */
import {
  concatTransformationMatrix,
  PDFDocument,
  type PDFFont,
  PDFName,
  type PDFPage,
  StandardFonts,
} from 'pdf-lib';
import type { CardDefinition } from '../types.ts';
import { drawCard } from './draw-card.ts';
import { NOTES_MM, printingNotes } from './notes.ts';
import { movedTo, POINTS_PER_MM, type Strokes, type Typefaces } from './pen.ts';
import { type Paper, placeOnSheets, type Sheet } from './sheet.ts';
import { cutMarks, sheetHeader } from './sheet-marks.ts';
import { srgbProfileBytes } from './srgb-profile.ts';

export { PAPERS, type Paper } from './sheet.ts';

export interface DrawOptions {
  /** `a4` when left out. */
  readonly paper?: Paper;
}

/**
 * A PDF of cards in their true size at 100 %, vectors only, with a check rule, cut marks and how to print. Colours
 * are sRGB by an embedded profile; tags, text and rules are the printer's black. The same definitions give the same
 * bytes. Throws `card-invalid` for a card larger than the sheet or with markers of an unknown family.
 */
export async function drawCardPdf(
  definitions: readonly CardDefinition[],
  { paper = 'a4' }: DrawOptions = {},
): Promise<Uint8Array> {
  const sheets = placeOnSheets(definitions, paper, NOTES_MM);
  const pdf = await PDFDocument.create({ updateMetadata: false });
  pdf.setTitle(definitions[0].name);
  pdf.setProducer('sprayout');
  const plain = await pdf.embedFont(StandardFonts.Helvetica);
  const bold = await pdf.embedFont(StandardFonts.HelveticaBold);
  const faces: Typefaces = { plain: { name: 'Plain', font: plain }, bold: { name: 'Bold', font: bold } };
  const srgb = embedSrgb(pdf);
  for (const sheet of sheets) {
    const page = addPage(pdf, sheet, { plain, bold }, srgb);
    page.pushOperators(...drawSheet(sheet, definitions, faces));
  }
  return pdf.save();
}

function embedSrgb(pdf: PDFDocument) {
  const profile = pdf.context.flateStream(srgbProfileBytes(), { N: 3, Alternate: 'DeviceRGB' });
  return pdf.context.obj(['ICCBased', pdf.context.register(profile)]);
}

/** A page whose unit is the millimetre, origin at the top left, y down, and whose RGB is sRGB. */
function addPage(
  pdf: PDFDocument,
  { size_mm: [width, height] }: Sheet,
  fonts: { readonly plain: PDFFont; readonly bold: PDFFont },
  srgb: ReturnType<typeof embedSrgb>,
): PDFPage {
  const page = pdf.addPage([width * POINTS_PER_MM, height * POINTS_PER_MM]);
  page.node.setFontDictionary(PDFName.of('Plain'), fonts.plain.ref);
  page.node.setFontDictionary(PDFName.of('Bold'), fonts.bold.ref);
  page.node.Resources()?.set(PDFName.of('ColorSpace'), pdf.context.obj({ DefaultRGB: srgb }));
  page.pushOperators(
    concatTransformationMatrix(POINTS_PER_MM, 0, 0, -POINTS_PER_MM, 0, height * POINTS_PER_MM),
  );
  return page;
}

function drawSheet(sheet: Sheet, definitions: readonly CardDefinition[], faces: Typefaces): Strokes {
  const [main, ...others] = definitions;
  const title = others.length ? `${main.name} and strips` : main.name;
  const { column_x_mm: x, notes_y_mm: y } = sheet;
  return [
    ...sheetHeader(title, x, faces),
    ...sheet.cards.flatMap(({ definition, at_mm }) => [
      ...cutMarks(at_mm, definition.size_mm),
      ...movedTo(at_mm, drawCard(definition, faces)),
    ]),
    ...(y === undefined ? [] : printingNotes(definitions, [x, y], faces)),
  ];
}
