/** What a colour that a job states is worth: an instrument's, or one read from a photo elsewhere. */

/** Standard uncertainties where none is stated, root-mean-square ΔE2000: a good instrument on a metallic panel, and a photo. */
const INSTRUMENT_U = 0.5;
const PHOTO_U = 0.8;

/** Share of the variance of colours read from one photo that they have in common. */
export const SHARED_BY_SOURCE = 0.4;

interface Stated {
  readonly u?: number | undefined;
  readonly photo?: string | undefined;
  readonly corners_px?: unknown;
}

/** The photo that a stated colour was read from. One with a place in a photo is an instrument's, of a panel known there. */
export const sourceOf = ({ photo, corners_px }: Stated): string | undefined =>
  corners_px === undefined ? photo : undefined;

/** Standard uncertainty of a stated colour. */
export const statedUncertainty = (stated: Stated): number =>
  stated.u ?? (sourceOf(stated) === undefined ? INSTRUMENT_U : PHOTO_U);
