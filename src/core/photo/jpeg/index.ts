/** JPEG beside its decoder: what its 8-bit pixels have lost. */
export { decoderRounding } from './rounding.ts';
export type { Rounding } from './types.ts';
