import type { Lab, Spectrum, Xyz } from '../../color/index.ts';
import { SprayoutError } from '../../errors.ts';

/** One reading of one patch as an instrument's file states it. */
export interface InstrumentReading {
  /** Where it stands, for messages: `line 12` or `object "N1"`. */
  readonly where: string;
  /** What the file calls the patch; several columns may name it. */
  readonly names: readonly string[];
  /** Reflectance, 0–1. */
  readonly spectrum?: Spectrum;
  readonly lab?: Lab;
  /** Y = 1 for the perfect diffuser. */
  readonly xyz?: Xyz;
  /** Illuminant and observer of `lab` and `xyz`, such as `D65/10`, where the file states them. */
  readonly white?: string;
}

/** `readings-invalid` with the file and the place in it. */
export function readingsError(fileName: string, what: string, hint: string): SprayoutError {
  return new SprayoutError('readings-invalid', `Readings ${fileName}: ${what}.`, hint);
}
