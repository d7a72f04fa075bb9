import type { Raster } from '../../photo/types.ts';
import { fitHomography } from '../homography.ts';
import { CODE_CELLS } from './codes.ts';
import { type Corners, meanSide } from './quads.ts';
import { tagHolder } from './tag-code.ts';

/** Cells along a side of a tag with its black border. */
const TAG_CELLS = CODE_CELLS + 2;

/** What is printed inside a dark square, if it has a tag's dark border on bright ground. */
export interface ReadCells {
  /** 36 cells row by row from the first corner, 1 white. */
  readonly cells: Uint8Array;
  /** Of the 28 cells of the border, those that are not dark. */
  readonly wrongBorder: number;
}

const SQUARE = [0, 0, TAG_CELLS, 0, TAG_CELLS, TAG_CELLS, 0, TAG_CELLS] as const;
/** Bytes of a homography, and of a code's cells. */
const MATRIX_BYTES = 72;
const CELLS_BYTES = 40;

/**
 * Reads the cells of a tag. Black is a plane fitted to the tag's border and white one fitted to the quiet zone around
 * it, so that light which falls off across the tag does not matter. Undefined when that border is missing.
 */
export function readCells(photo: Raster, corners: Corners): ReadCells | undefined {
  const { code, about } = tagHolder();
  const workBytes = MATRIX_BYTES + CELLS_BYTES + code.cellBytes();
  return about(photo, corners, aboutTag(corners), workBytes, (work) => {
    const cells = work + MATRIX_BYTES;
    new Float64Array(code.memory.buffer, work, 9).set(fitHomography(SQUARE, corners));
    const wrongBorder = code.readCells(work, cells, cells + CELLS_BYTES);
    if (wrongBorder < 0) return undefined;
    return { cells: new Uint8Array(code.memory.buffer, cells, CODE_CELLS ** 2).slice(), wrongBorder };
  });
}

/**
 * Whether a dark square on bright ground is dark all over, as the patches of a card are: not one of its cells is
 * bright, where every code has ten that are. Tells at a fraction of the cost of reading.
 */
export function isPlain(photo: Raster, corners: Corners): boolean {
  const { code, about } = tagHolder();
  return about(photo, corners, aboutTag(corners), MATRIX_BYTES, (work) => {
    new Float64Array(code.memory.buffer, work, 9).set(fitHomography(SQUARE, corners));
    return code.isPlain(work) === 1;
  });
}

/** How far about a tag it is read, px: its quiet zone, a cell wide. */
function aboutTag(corners: Corners): number {
  return meanSide(corners) / TAG_CELLS + 2;
}
