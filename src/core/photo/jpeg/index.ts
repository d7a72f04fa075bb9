/** JPEG beside its decoder: what its 8-bit pixels have lost. */
export { decoderRounding } from './rounding.ts';
export { CELL_SHIFT, ROUNDING_UNIT, type Rounding } from './types.ts';
