/**
 * Factors that bring the stated spreads to the true ones, set on simulated scenes that nothing is judged by
 * (`npm run bench:accuracy`).
 */
export const SPREAD = {
  /** On the fit's unknowns, for a card known exactly and for one printed and never measured (u about 2). */
  parameters: { exact: 1.0, nominal: 1.35 },
  /** On what three channels cannot tell. */
  metamerism: 0.72,
  /** Share of that which things of one group, or of different groups, have in common where their readings agree. */
  sharedInGroup: 0.85,
  sharedAcrossGroups: 0.5,
  /** Least standard deviation per Lab axis of any reading, own to it. */
  floor: 0.06,
} as const;

/** Factor on the fit's unknowns for a card whose patches have this median standard uncertainty, ΔE2000. */
export function parameterSpread(u: number): number {
  const { exact, nominal } = SPREAD.parameters;
  return exact + (nominal - exact) * Math.min(1, (u / 2) ** 2);
}
