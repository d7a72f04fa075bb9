/** Half tones: inks printed as dots that fall on one another by chance. */

/** Part of the paper that each of the 2ⁿ combinations of n inks covers (Demichel); bit i of the index is ink i. */
export function demichelAreas(areas: ArrayLike<number>): Float64Array {
  const out = new Float64Array(2 ** areas.length);
  out[0] = 1;
  for (let ink = 0; ink < areas.length; ink++)
    for (let below = 0; below < 1 << ink; below++) {
      out[below | (1 << ink)] = out[below] * areas[ink];
      out[below] *= 1 - areas[ink];
    }
  return out;
}

/** Yule–Nielsen mean of reflectances weighted by the areas they cover; n = 1 is the plain mean. */
export function yuleNielsenMean(
  areas: ArrayLike<number>,
  reflectances: ArrayLike<number>,
  n: number,
): number {
  let sum = 0;
  for (let i = 0; i < areas.length; i++) sum += areas[i] * reflectances[i] ** (1 / n);
  return sum ** n;
}
