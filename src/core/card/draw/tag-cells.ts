import family from '../../../../shared/tables/tag36h11.json' with { type: 'json' };

/** Cells a side within the black border, border included, and data cells a side. */
const SIDE = 8;
const DATA = 6;

/** A 36h11 tag as drawn upright: 8 rows of 8 cells, true where black. `id` from 0 to 586. */
export function tagCells(id: number): readonly (readonly boolean[])[] {
  const code = BigInt(family.codes[id]);
  const isBlack = (row: number, column: number): boolean => {
    if (row < 0 || column < 0 || row >= DATA || column >= DATA) return true;
    const bit = DATA * DATA - 1 - (row * DATA + column);
    return ((code >> BigInt(bit)) & 1n) === 0n;
  };
  return Array.from({ length: SIDE }, (_, row) =>
    Array.from({ length: SIDE }, (_, column) => isBlack(row - 1, column - 1)),
  );
}
