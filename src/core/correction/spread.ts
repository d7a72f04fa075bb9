/**
 * Factors that bring the stated spreads to the true ones, set on simulated scenes that nothing is judged by
 * (`npm run bench:accuracy`).
 */
export const SPREAD = {
  /** On the fit's unknowns. */
  parameters: 1.2,
  /** On what three channels cannot tell. */
  metamerism: 1.0,
  /** Share of that which things of one group, or of different groups, have in common where their readings agree. */
  sharedInGroup: 0.97,
  sharedAcrossGroups: 0.5,
  /** Least standard deviation per Lab axis of any reading, own to it. */
  floor: 0.06,
} as const;
