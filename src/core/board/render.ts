/** One board document as PDF, as pictures (SVG) and as a web page. */
import { withoutIsolates } from './bidi.ts';
import { type BoardFonts, type Lettering, missingCharacters } from './lettering.ts';
import type { Page } from './page/display.ts';
import { type BoardPaper, SHEETS } from './page/format.ts';
import { boardPages } from './page/index.ts';
import { pagesPdf } from './page/paint-pdf.ts';
import { pageSvg } from './page/paint-svg.ts';
import type { BoardDocument } from './types.ts';

export interface BoardOptions {
  readonly fonts: BoardFonts;
  /** Panels on a sheet, 1 to 12; as usual for so many panels when left out. */
  readonly perSheet?: number | undefined;
  /** `a4` when left out; for PDF alone. */
  readonly paper?: BoardPaper | undefined;
}

/** A PDF with live text in embedded fonts. Deterministic. Throws `usage` for a number of panels that no sheet holds. */
export function boardPdf(
  document: BoardDocument,
  { fonts, perSheet, paper = 'a4' }: BoardOptions,
): Promise<Uint8Array> {
  return pagesPdf(laidOut(document, { fonts, perSheet, paper }), fonts.files, forProse(fonts), {
    title: document.title,
    author: document.maker,
    subject: 'Sample board',
  });
}

/** A document's pages as last laid out, so that asking what was left out and painting lay them out once. */
const lately = new WeakMap<BoardDocument, { readonly options: BoardOptions; readonly pages: Page[] }>();

/** `paper` undefined means the picture for posting. */
function laidOut(document: BoardDocument, options: BoardOptions): Page[] {
  const { fonts, perSheet, paper } = options;
  const last = lately.get(document);
  if (last?.options.fonts === fonts && last.options.perSheet === perSheet && last.options.paper === paper)
    return last.pages;
  const pages = boardPages(document, SHEETS[paper ?? 'picture'], forProse(fonts), perSheet);
  lately.set(document, { options, pages });
  return pages;
}

const forProse = ({ lettering }: BoardFonts): Lettering => ({ ...lettering, figures: 'proportional' });

export const PICTURE_PX = { width: 1200, height: 1500 } as const;

/** Pictures of 1200 × 1500 for posting, as SVG with text as outlines, to be made PNG of. One a sheet. */
export function boardSvgs(document: BoardDocument, { fonts, perSheet }: BoardOptions): string[] {
  const { width_mm } = SHEETS.picture;
  const lettering = forProse(fonts);
  return laidOut(document, { fonts, perSheet }).map((page) =>
    pageSvg(page, lettering, PICTURE_PX.width / width_mm),
  );
}

/**
 * Ids of panels whose notes the sheets have no room for, at least not in full; `board` for the board's own. A web page
 * has room for all. `paper` undefined means the picture for posting.
 */
export function notesLeftOut(document: BoardDocument, options: BoardOptions): readonly string[] {
  const pages = laidOut(document, options);
  // as lines break anywhere, spaces do not count
  const bare = (text: string): string => withoutIsolates(text).replace(/\s+/g, '');
  const shown = bare(
    pages.flatMap((page) => page.items.flatMap((i) => (i.kind === 'text' ? [i.text] : []))).join(''),
  );
  const wanted = [
    ...document.panels.map((p) => [p.record, p.notes] as const),
    ['board', document.notes] as const,
  ];
  return wanted.flatMap(([id, notes]) => (notes && !shown.includes(bare(notes)) ? [id] : []));
}

/** Characters of a board's texts that its typeface doesn't have; PDF and pictures show a box for each. */
export function missingOnBoard(document: BoardDocument, { lettering }: BoardFonts): string[] {
  const { title, maker, date, notes, target, panels } = document;
  const texts = [
    title,
    maker,
    date,
    notes,
    target?.name,
    ...panels.flatMap((p) => [p.name, p.notes, p.build, p.difference?.words, p.recipe?.words, ...p.lights]),
    ...(document.ladder?.sheets.flatMap((s) => [s.title, s.subtitle, ...s.columns]) ?? []),
  ];
  return missingCharacters(
    lettering,
    texts.flatMap((t) => (t === undefined ? [] : [withoutIsolates(t)])),
  );
}
