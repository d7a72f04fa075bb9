/** The pages of a board, to be painted as PDF or as pictures. */

import { SprayoutError } from '../../errors.ts';
import type { Lettering } from '../lettering.ts';
import type { BoardDocument, BoardPanel } from '../types.ts';
import type { Page } from './display.ts';
import { MOST_PER_SHEET, type SheetFormat, usualPerSheet } from './format.ts';
import type { SheetContext } from './furniture.ts';
import { ladderPage } from './ladder-page.ts';
import { singlePage } from './single.ts';
import { tiledPage } from './tiles.ts';

/** Lays a board out. `perSheet` from 1 to 12; as usual for so many panels when left out. Throws `usage`. */
export function boardPages(
  document: BoardDocument,
  format: SheetFormat,
  lettering: Lettering,
  perSheet = usualPerSheet(document.panels.length),
): Page[] {
  if (!(Number.isInteger(perSheet) && perSheet >= 1 && perSheet <= MOST_PER_SHEET))
    throw new SprayoutError(
      'usage',
      `${perSheet} panels on a sheet cannot be laid out.`,
      `Use a whole number from 1 to ${MOST_PER_SHEET}.`,
    );
  const sheets: BoardPanel[][] = [];
  for (let i = 0; i < document.panels.length; i += perSheet)
    sheets.push(document.panels.slice(i, i + perSheet));
  const ladders = document.ladder?.sheets ?? [];
  const count = sheets.length + ladders.length;
  const context = (index: number): SheetContext => ({
    document,
    format,
    lettering,
    number: index + 1,
    count,
  });
  return [
    ...sheets.map((panels, i) =>
      perSheet === 1 ? singlePage(context(i), panels[0]) : tiledPage(context(i), panels, perSheet),
    ),
    ...ladders.map((sheet, i) => ladderPage(context(sheets.length + i), document.ladder!, sheet)),
  ];
}
