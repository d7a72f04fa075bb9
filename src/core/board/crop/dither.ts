/** Thresholds of an ordered dither, 8 × 8 (Bayer 1973): rounding by them to whole steps moves no mean. */
export const BAYER = Float64Array.from({ length: 64 }, (_, i) => {
  const x = i % 8;
  const y = i >> 3;
  let v = 0;
  for (let bit = 0; bit < 3; bit++) v = (v << 2) | ((((x ^ y) >> bit) & 1) << 1) | ((y >> bit) & 1);
  return (v + 0.5) / 64;
});
