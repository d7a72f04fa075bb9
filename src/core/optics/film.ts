/**
 * Inner reflectance of a clear, coloured film over a ground: light crosses the film on the way in and on the way
 * out (Bouguer–Lambert–Beer), and a share `phi` comes back without having crossed it (flakes that stand up into
 * the film, gaps): Ri = Rg ((1−φ) e^−A + φ).
 *
 * @param ground inner reflectance of the ground, 0–1, n values
 * @param absorbance A, natural logarithm, there and back, n values
 * @param phi share of the light that never crossed the film, 0–1
 */
export function filmOverGround(
  ground: ArrayLike<number>,
  absorbance: ArrayLike<number>,
  phi = 0,
): Float64Array {
  return Float64Array.from(ground, (g, i) => g * ((1 - phi) * Math.exp(-absorbance[i]) + phi));
}
