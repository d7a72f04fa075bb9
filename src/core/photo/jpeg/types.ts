/** What rounding took off the means of a decoded picture, cell by cell; a cell is a block of luma, 8 px wide. The pixels themselves are left as decoded. */
export interface Rounding {
  /** Cells in a row of the stored picture, before orientation. */
  readonly columns: number;
  /** Three a cell, red, green, blue: true mean less the decoded pixels' mean, in 64ths of an 8-bit step. */
  readonly offsets: Int8Array;
  /** From a pixel (x, y) of the upright picture to the stored one: column = m₀ x + m₁ y + m₂, row = m₃ x + m₄ y + m₅. */
  readonly toStored: readonly [number, number, number, number, number, number];
}
