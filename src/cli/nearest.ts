/** The known word that a misspelt one most likely means, or undefined when none is close (Levenshtein distance). */
export function nearest(word: string, known: readonly string[]): string | undefined {
  const reach = Math.max(1, Math.floor(word.length / 3));
  let best: string | undefined;
  let least = reach + 1;
  for (const candidate of known) {
    const d =
      word.length >= 3 && candidate.startsWith(word) ? 1 : editDistance(word.toLowerCase(), candidate);
    if (d < least) {
      least = d;
      best = candidate;
    }
  }
  return best;
}

function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++)
      next[j] = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
    row = next;
  }
  return row[b.length];
}
