/** The sheets a board may be made for. */

export const BOARD_PAPERS = ['a4', 'letter'] as const;
export type BoardPaper = (typeof BOARD_PAPERS)[number];

export interface SheetFormat {
  readonly width_mm: number;
  readonly height_mm: number;
  readonly margin_mm: number;
  readonly paper: string;
  /** Factor on all sizes of type. */
  readonly type: number;
  /** Side of the code. */
  readonly code_mm: number;
  /** Most bytes of a code, so that its modules stay large enough to be read. */
  readonly code_bytes: number;
  /** Columns under a single panel. */
  readonly columns: 2 | 3;
}

/** Upright sheets (ISO 216; ANSI/ASME Y14.1), and a 4:5 picture for posting at ten pixels to the millimetre. */
export const SHEETS: Readonly<Record<BoardPaper | 'picture', SheetFormat>> = {
  a4: {
    width_mm: 210,
    height_mm: 297,
    margin_mm: 18,
    paper: '#ffffff',
    type: 1,
    code_mm: 24,
    code_bytes: 412,
    columns: 3,
  },
  letter: {
    width_mm: 215.9,
    height_mm: 279.4,
    margin_mm: 18,
    paper: '#ffffff',
    type: 1,
    code_mm: 24,
    code_bytes: 412,
    columns: 3,
  },
  picture: {
    width_mm: 120,
    height_mm: 150,
    margin_mm: 7,
    paper: '#f4f4f4',
    type: 0.96,
    code_mm: 18,
    code_bytes: 180,
    columns: 2,
  },
};

/** Most panels on one sheet. */
export const MOST_PER_SHEET = 12;

/** Columns and rows for so many panels on a sheet. */
export function gridFor(perSheet: number): readonly [columns: number, rows: number] {
  if (perSheet <= 3) return [1, perSheet];
  if (perSheet <= 4) return [2, 2];
  if (perSheet <= 6) return [2, 3];
  if (perSheet <= 9) return [3, 3];
  return [3, 4];
}

/** As many on a sheet as there are, up to six: more are harder to judge. */
export function usualPerSheet(panels: number): number {
  return panels <= 2 ? panels : panels <= 4 ? 4 : 6;
}
