import { SprayoutError } from '../../errors.ts';
import type { PointMm } from '../../photo/types.ts';
import type { CardDefinition } from '../types.ts';

/** Sheets that the card can be printed on. */
export const PAPERS = ['a4', 'letter'] as const;
export type Paper = (typeof PAPERS)[number];

/** Width and height upright, mm (ISO 216; ANSI/ASME Y14.1). */
export const PAPER_MM: Readonly<Record<Paper, readonly [number, number]>> = {
  a4: [210, 297],
  letter: [215.9, 279.4],
};

/** What a desktop printer leaves white on every side, with room to spare for the cut marks. */
const MARGIN_MM = 10;
/** Title and check rule at the top of every sheet. */
const HEADER_MM = 28;
const GAP_MM = 8;
/** Width of the column that the header and the notes keep to: the bench card's. */
export const COLUMN_MM = 148;

export interface PlacedOnSheet {
  readonly definition: CardDefinition;
  readonly at_mm: PointMm;
}

export interface Sheet {
  readonly size_mm: readonly [number, number];
  /** Left edge of header and notes. */
  readonly column_x_mm: number;
  readonly cards: readonly PlacedOnSheet[];
  /** Where the printing notes begin, on the sheet that has room for them. */
  readonly notes_y_mm?: number;
}

/**
 * Places cards under one another on as few sheets as they need, lying sheets when one is too wide to stand, and the
 * printing notes of height `notes_mm` below the last. Throws `card-invalid` for a card larger than a sheet.
 */
export function placeOnSheets(
  definitions: readonly CardDefinition[],
  paper: Paper,
  notes_mm: number,
): readonly Sheet[] {
  const [short, long] = PAPER_MM[paper];
  const isWide = definitions.some((d) => d.size_mm[0] > short - 2 * MARGIN_MM);
  const size_mm = isWide ? ([long, short] as const) : ([short, long] as const);
  const column_x_mm = (size_mm[0] - COLUMN_MM) / 2;
  const bottom = size_mm[1] - MARGIN_MM;

  const sheets: {
    size_mm: typeof size_mm;
    column_x_mm: number;
    cards: PlacedOnSheet[];
    notes_y_mm?: number;
  }[] = [];
  let y = Number.POSITIVE_INFINITY;
  const startSheet = (): void => {
    sheets.push({ size_mm, column_x_mm, cards: [] });
    y = MARGIN_MM + HEADER_MM;
  };
  for (const definition of definitions) {
    const [width, height] = definition.size_mm;
    if (width > size_mm[0] - 2 * MARGIN_MM || height > bottom - MARGIN_MM - HEADER_MM)
      throw new SprayoutError(
        'card-invalid',
        `Card ${JSON.stringify(definition.name)} measures ${width} × ${height} mm, more than a sheet of ${paper === 'a4' ? 'A4' : 'letter'} paper leaves room for.`,
        `Up to ${size_mm[0] - 2 * MARGIN_MM} × ${Math.floor(bottom - MARGIN_MM - HEADER_MM)} mm can be printed; make the card file's size_mm and positions smaller.`,
      );
    if (y + height > bottom) startSheet();
    const x = width > COLUMN_MM ? (size_mm[0] - width) / 2 : column_x_mm;
    sheets[sheets.length - 1].cards.push({ definition, at_mm: [x, y] });
    y += height + GAP_MM;
  }
  if (y + notes_mm > bottom) startSheet();
  sheets[sheets.length - 1].notes_y_mm = y;
  return sheets;
}
