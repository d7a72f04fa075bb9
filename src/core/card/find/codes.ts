import table from '../../../../shared/tables/tag36h11.json' with { type: 'json' };
import { behindLight } from './tag-code.ts';

/** The names by which card definitions call the tag family that is read. */
export const FAMILIES: ReadonlySet<string> = new Set(['36h11', 'tag36h11']);

/** Cells along a side of the code, without its border. */
export const CODE_CELLS = 6;

/**
 * Bits that may be wrong. Any two codes of the family, in any turn, differ in 11 bits or more, so that a code with
 * 3 wrong bits is still 8 away from every other.
 */
export const MOST_WRONG_BITS = 3;

export interface CodeMatch {
  readonly id: number;
  /** Which of the square's corners is the tag's own top left. */
  readonly turns: number;
  /** Bits that differ. */
  readonly wrongBits: number;
}

const HALF = CODE_CELLS * (CODE_CELLS / 2);
/** Upper and lower 18 bits of each code: whole codes do not fit the integers that bits can be counted in. */
const upper = new Int32Array(table.codes.length);
const lower = new Int32Array(table.codes.length);
table.codes.forEach((code, id) => {
  const value = BigInt(code);
  upper[id] = Number(value >> BigInt(HALF));
  lower[id] = Number(value & ((1n << BigInt(HALF)) - 1n));
});

/** The code of the whole family that is nearest to 36 cells (1 white, row by row), in any of the four turns. */
export function nearestCode(cells: Uint8Array): CodeMatch {
  const { code, place, grow } = behindLight();
  const at = {
    cells: place(cells.length),
    upper: place(upper.byteLength),
    lower: place(lower.byteLength),
    out: place(12),
    work: place(2 * cells.length),
  };
  const buffer = grow(code.memory);
  new Uint8Array(buffer, at.cells, cells.length).set(cells);
  new Int32Array(buffer, at.upper, upper.length).set(upper);
  new Int32Array(buffer, at.lower, lower.length).set(lower);
  code.nearestCode(at.cells, at.upper, at.lower, upper.length, at.out, at.work);
  const [id, turns, wrongBits] = new Int32Array(buffer, at.out, 3);
  return { id, turns, wrongBits };
}

/** Bits in which 36 cells, upright, differ from a code. */
export function wrongBitsOf(cells: Uint8Array, id: number): number {
  let wrong = 0;
  for (let i = 0; i < HALF; i++) {
    wrong += cells[i] ^ ((upper[id] >> (HALF - 1 - i)) & 1);
    wrong += cells[HALF + i] ^ ((lower[id] >> (HALF - 1 - i)) & 1);
  }
  return wrong;
}

/** The cells as a mirror shows them. */
export function mirrored(cells: Uint8Array): Uint8Array {
  const out = new Uint8Array(36);
  for (let row = 0; row < CODE_CELLS; row++)
    for (let column = 0; column < CODE_CELLS; column++)
      out[row * CODE_CELLS + column] = cells[column * CODE_CELLS + row];
  return out;
}
