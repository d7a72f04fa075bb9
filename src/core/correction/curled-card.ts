/**
 * A card that does not lie flat. Its parts face the light otherwise than a flat card's do: across a curl that looks as light
 * that falls off, and carried on to the panels it makes them too light or too dark.
 */
import type { Curl } from '../card/types.ts';
import { cholesky, innerProduct } from '../math/linear.ts';
import type { Fit } from './fit-model.ts';
import { SLOPE_SD } from './light-field.ts';

/** Standard deviation, along each axis, of the tangent of the angle at which a photo's light comes in. */
const SLANT = 0.5;

/**
 * A fit that, where the card bends, no longer trusts how its light falls off, as far as the curl may have made it up. A surface that leans by s towards
 * light of slant l gets l·s more of it, as a share; s grows evenly across a curl.
 */
export function doubtingLight(fit: Fit, curl: Curl | undefined): Fit {
  if (!curl) return fit;
  const { xx, xy, yy } = curl;
  const { size, field } = fit.layout;
  const perWay = (100 * SLANT) / SLOPE_SD;
  let information = fit.information;
  for (const [alongX, alongY] of [
    [2 * xx, xy],
    [xy, 2 * yy],
  ]) {
    const way = new Float64Array(size);
    way[field] = perWay * alongX;
    way[field + 1] = perWay * alongY;
    information = widened(information, way);
  }
  return { ...fit, information, hessian: cholesky(information, size) };
}

/** Inverse of a covariance that gained v·vᵀ, from the inverse of what it was (Sherman and Morrison 1950). */
function widened(information: Float64Array, v: Float64Array): Float64Array {
  const n = v.length;
  const told = Float64Array.from(v, (_, i) => innerProduct(information, i * n, v, 0, n));
  const all = 1 + innerProduct(told, 0, v, 0, n);
  return information.map((value, i) => value - (told[Math.floor(i / n)] * told[i % n]) / all);
}
