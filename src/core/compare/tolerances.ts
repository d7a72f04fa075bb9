/** What the eye sees and what people accept, in ΔE2000. The user's setting. */
export interface Tolerances {
  /** From here on a difference is seen side by side. */
  readonly seen: number;
  /** Up to here a difference is accepted. */
  readonly accepted: number;
}

/**
 * 50:50 perceptibility and acceptability thresholds of dental shades, CIEDE2000: half of the observers see a
 * difference of .8, half accept one of 1.8 (Paravina et al., J. Esthet. Restor. Dent. 27, 2015, S1–S9). No such
 * study of painted panels is known to us, so they are a start, not a standard: set your own.
 */
export const DEFAULT_TOLERANCES: Tolerances = { seen: 0.8, accepted: 1.8 };
