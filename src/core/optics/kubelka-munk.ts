/**
 * Layers that scatter as well as absorb (Kubelka and Munk, Z. tech. Phys. 12, 1931; hyperbolic solutions
 * Kubelka, J. Opt. Soc. Am. 38, 1948). K and S are per unit of thickness X.
 */

/** K/S of a layer that hides, from its reflectance R in (0, 1]: (1−R)² / 2R. */
export function kOverS(reflectance: number): number {
  return (1 - reflectance) ** 2 / (2 * reflectance);
}

/** Reflectance R∞ of a layer that hides, from K/S ≥ 0: the inverse of `kOverS`. */
export function hidingReflectance(ratio: number): number {
  // 1 + q − √(q² + 2q) loses its digits for large q; its reciprocal does not
  return 1 / (1 + ratio + Math.sqrt(ratio * ratio + 2 * ratio));
}

/**
 * Inner reflectance of a layer of thickness X over a ground of inner reflectance Rg (Kubelka 1948, eq. 20):
 * R = (1 − Rg (a − b coth bSX)) / (a − Rg + b coth bSX), a = 1 + K/S, b = √(a² − 1).
 * S = 0 gives the clear film Rg e^(−2KX), K = 0 the white one.
 */
export function layerOverGround(ground: number, k: number, s: number, thickness: number): number {
  if (thickness === 0) return ground;
  if (s === 0) return ground * Math.exp(-2 * k * thickness);
  const a = 1 + k / s;
  const b = Math.sqrt((a - 1) * (a + 1));
  // b coth(bSX), which tends to 1/(SX) as absorption vanishes
  const x = b * s * thickness;
  const bCoth = x < 1e-6 ? 1 / (s * thickness) : b / Math.tanh(x);
  return (1 - ground * (a - bCoth)) / (a - ground + bCoth);
}
