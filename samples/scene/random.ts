/** A seeded source of randomness of the scenes' own. */
export interface SceneRandom {
  /** Uniform in [lo, hi). */
  between(lo: number, hi: number): number;
  normal(mean: number, sd: number): number;
  /** Exponential with the given mean. */
  exponential(mean: number): number;
  /** Whole number in [0, n). */
  below(n: number): number;
  chance(p: number): boolean;
  pick<T>(list: readonly T[]): T;
}

/** Hash of a text to 32 bits (FNV-1a). */
export function hashText(text: string): number {
  let h = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193);
  return h >>> 0;
}

/**
 * Random numbers for one purpose of one scene: `randomOf(7, 'light')` and `randomOf(7, 'camera')` are unrelated, so that
 * asking one thing more of a scene leaves all else as it was. Generator: sfc32 (Chris Doty-Humphrey, PractRand).
 */
export function randomOf(seed: number, purpose: string): SceneRandom {
  let a = hashText(`${purpose}/a/${seed}`) | 0;
  let b = hashText(`b/${seed}/${purpose}`) | 0;
  let c = hashText(`${seed}/c/${purpose}`) | 0;
  let d = 1;
  const uniform = (): number => {
    const t = (((a + b) | 0) + d) | 0;
    d = (d + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + t;
    c |= 0;
    return (t >>> 0) / 4294967296;
  };
  for (let i = 0; i < 16; i++) uniform();
  return {
    between: (lo, hi) => lo + (hi - lo) * uniform(),
    // Box and Muller 1958
    normal: (mean, sd) =>
      mean + sd * Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
    exponential: (mean) => -mean * Math.log(1 - uniform()),
    below: (n) => Math.floor(n * uniform()),
    chance: (p) => uniform() < p,
    pick: (list) => list[Math.floor(list.length * uniform())],
  };
}
