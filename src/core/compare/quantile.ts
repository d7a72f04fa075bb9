/**
 * Quantile of ascending values, 0 ≤ p ≤ 1, at position p·(n + 1), linear between order statistics (Hyndman and Fan
 * 1996, type 6). A new value from the same source lies below it with probability p, also for few values.
 */
export function quantileOfSorted(sorted: ArrayLike<number>, p: number): number {
  const x = Math.min(Math.max(p * (sorted.length + 1) - 1, 0), sorted.length - 1);
  const i = Math.min(Math.floor(x), sorted.length - 2);
  if (i < 0) return sorted[0];
  return sorted[i] + (x - i) * (sorted[i + 1] - sorted[i]);
}
