/** Figures by name. */
export interface Scores {
  add(name: string, value: number): void;
  mean(name: string): number;
  quantile(name: string, p: number): number;
  names(): string[];
  count(name: string): number;
}

export function makeScores(): Scores {
  const all = new Map<string, number[]>();
  const of = (name: string): number[] => all.get(name) ?? [];
  return {
    add(name, value) {
      const list = all.get(name);
      if (list) list.push(value);
      else all.set(name, [value]);
    },
    mean: (name) => of(name).reduce((a, b) => a + b, 0) / of(name).length,
    quantile(name, p) {
      const sorted = [...of(name)].sort((a, b) => a - b);
      const x = p * (sorted.length - 1);
      const i = Math.floor(x);
      return sorted[i] + (x - i) * ((sorted[i + 1] ?? sorted[i]) - sorted[i]);
    },
    names: () => [...all.keys()],
    count: (name) => of(name).length,
  };
}
