import type { Bits } from './bits.ts';
import type { Frame } from './frame.ts';

/** No offset: rounding takes less. */
export const UNKNOWN_OFFSET = -128;

/** What rounding took off the means of a decoded picture, cell by cell. The pixels themselves are left as decoded. */
export interface Rounding {
  /** Side of a cell, px. */
  readonly cell_px: number;
  /** Cells in a row of the stored picture, before orientation. */
  readonly columns: number;
  /**
   * Three a cell, red, green, blue: true mean less the decoded pixels' mean, in 1/`unit` of an 8-bit step.
   * `UNKNOWN_OFFSET` where a cell has not been worked out: few cells of a photo are ever read.
   */
  readonly offsets: Int8Array;
  readonly unit: number;
  /** From a pixel (x, y) of the upright picture to the stored one: column = m₀ x + m₁ y + m₂, row = m₃ x + m₄ y + m₅. */
  readonly toStored: readonly [number, number, number, number, number, number];
  /** What the cells are worked out from: see `workOut`. */
  readonly components: Frame['components'];
  readonly bits: Bits;
  readonly places: UnitPlaces;
}

/** Where each unit of a scan begins, to go back there. */
export interface UnitPlaces {
  /** Bits from the beginning of the data. */
  readonly starts: Uint32Array;
  /** DC values before it, three a unit, in steps. */
  readonly dcs: Int32Array;
}
