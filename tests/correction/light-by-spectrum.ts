/** The colour of a photo's light by another way than the product's: out of its whole spectrum, way by way. */
import { GRID, type LightColour, lightColour } from '../../src/core/color/index.ts';
import { inner } from '../../src/core/correction/light-kinds.ts';
import { BARS } from '../../src/core/correction/light-prior.ts';
import { temperatures } from '../../src/core/correction/likely-light.ts';
import type { PhotoLight } from '../../src/core/correction/photo-light.ts';
import { solveLower } from '../../src/core/math/linear.ts';

const N = GRID.count;

/** Colour of a power on the nodes. */
export function colourOfPower(power: ArrayLike<number>): LightColour {
  const [x, y, z] = BARS.map((bar) => inner(bar, power));
  return lightColour({ x: x / (x + y + z), y: y / (x + y + z) });
}

/** Colour of a photo's light with its 95 % intervals, from what is left open of its power. */
export function colourSpread({ fit, power, slopes, open }: PhotoLight): LightColour & {
  readonly cct_k_interval95: readonly [number, number];
  readonly duv_u95: number;
} {
  const centre = colourOfPower(power);
  const { size, sensitivity } = fit.layout;
  // columns of a square root of the learned modes' covariance, through the slopes, then the open modes
  const ways: Float64Array[] = [...open];
  const k = slopes.length;
  const rows = Array.from({ length: k }, (_, m) => {
    const unit = new Float64Array(size);
    unit[sensitivity + m] = 1;
    return solveLower(fit.hessian, size, unit);
  });
  for (let c = 0; c < size; c++) {
    const way = new Float64Array(N);
    for (let m = 0; m < k; m++) {
      const r = rows[m][c];
      if (r !== 0) for (let i = 0; i < N; i++) way[i] += r * slopes[m][i];
    }
    ways.push(way);
  }
  const step = 0.5;
  let mired2 = 0;
  let duv2 = 0;
  for (const way of ways) {
    if (inner(way, way) < 1e-8) continue;
    const moved = colourOfPower(power.map((v, i) => v + step * way[i]));
    mired2 += ((1e6 / moved.cct_k - 1e6 / centre.cct_k) / step) ** 2;
    duv2 += ((moved.duv - centre.duv) / step) ** 2;
  }
  return {
    ...centre,
    cct_k_interval95: temperatures(centre, 1.96 * Math.sqrt(mired2)),
    duv_u95: 1.96 * Math.sqrt(duv2),
  };
}
