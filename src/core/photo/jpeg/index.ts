/** JPEG beside its decoder: what its 8-bit pixels have lost. */
export { decoderRounding, workOut } from './rounding.ts';
export { type Rounding, UNKNOWN_OFFSET } from './types.ts';
