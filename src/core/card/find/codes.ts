import table from '../../../../shared/tables/tag36h11.json' with { type: 'json' };

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

function bitsSet(value: number): number {
  let v = value - ((value >> 1) & 0x55555555);
  v = (v & 0x33333333) + ((v >> 2) & 0x33333333);
  return Math.imul((v + (v >> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
}

/** The code of the whole family that is nearest to 36 cells (1 white, row by row), in any of the four turns. */
export function nearestCode(cells: Uint8Array): CodeMatch {
  let best: CodeMatch = { id: -1, turns: 0, wrongBits: 37 };
  let turned = cells;
  for (let turns = 0; turns < 4; turns++) {
    let high = 0;
    let low = 0;
    for (let i = 0; i < HALF; i++) {
      high = (high << 1) | turned[i];
      low = (low << 1) | turned[HALF + i];
    }
    for (let id = 0; id < upper.length; id++) {
      const wrongBits = bitsSet(upper[id] ^ high) + bitsSet(lower[id] ^ low);
      if (wrongBits < best.wrongBits) best = { id, turns, wrongBits };
    }
    turned = quarterTurn(turned);
  }
  return best;
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

/** The cells as read with the next corner (clockwise) as top left. */
function quarterTurn(cells: Uint8Array): Uint8Array {
  const turned = new Uint8Array(36);
  for (let row = 0; row < CODE_CELLS; row++)
    for (let column = 0; column < CODE_CELLS; column++)
      turned[row * CODE_CELLS + column] = cells[column * CODE_CELLS + (CODE_CELLS - 1 - row)];
  return turned;
}

/** The cells as a mirror shows them. */
export function mirrored(cells: Uint8Array): Uint8Array {
  const out = new Uint8Array(36);
  for (let row = 0; row < CODE_CELLS; row++)
    for (let column = 0; column < CODE_CELLS; column++)
      out[row * CODE_CELLS + column] = cells[column * CODE_CELLS + row];
  return out;
}
