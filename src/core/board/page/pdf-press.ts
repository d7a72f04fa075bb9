/** What is made once for a whole PDF: fonts, pictures and colour profiles. */
import { type PDFDocument, type PDFFont, PDFName, type PDFPage, type PDFRef } from 'pdf-lib';
import { type OutputSpaceName, outputProfile } from '../crop/index.ts';
import type { FontFiles, Lettering, Weight } from '../lettering.ts';
import type { BoardPicture } from '../types.ts';

/** Fonts and what has been made of them in one PDF. */
export interface Press {
  readonly pdf: PDFDocument;
  readonly files: FontFiles;
  readonly lettering: Lettering;
  readonly fonts: Map<string, PDFFont>;
  readonly pictures: Map<BoardPicture, PDFRef>;
  readonly profiles: Map<OutputSpaceName, PDFRef>;
}

export function profileOf({ pdf, profiles }: Press, space: OutputSpaceName): PDFRef {
  const known = profiles.get(space);
  if (known) return known;
  const ref = pdf.context.register(
    pdf.context.flateStream(outputProfile(space), { N: 3, Alternate: 'DeviceRGB' }),
  );
  profiles.set(space, ref);
  return ref;
}

/** A face of the lettering as a font of the page. */
export async function fontOf(
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
