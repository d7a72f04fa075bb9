/** Limits that files and calls share. */

/** Parts of one tint in a mix, at most. */
export const MOST_PARTS = 1e6;
