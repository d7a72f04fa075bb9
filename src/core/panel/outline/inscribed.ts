/** A square inside a set of map pixels, where there is most room. */
import type { QuadPx } from '../../photo/types.ts';

/** Half the square's side over the radius of the largest circle: its corners keep off the rim by a tenth. */
const HALF_SIDE = 0.64;
const FEWEST_ACROSS = 3;

/** The square in the largest circle that lies within the pixels, or undefined when there is no room. */
export function squareWithin(pixels: Int32Array, width: number): QuadPx | undefined {
  const rows = [...pixels].map((at) => Math.floor(at / width));
  const columns = [...pixels].map((at) => at % width);
  const [left, top] = [Math.min(...columns) - 1, Math.min(...rows) - 1];
  const [w, h] = [Math.max(...columns) - left + 2, Math.max(...rows) - top + 2];
  const away = new Float32Array(w * h);
  pixels.forEach((_, i) => {
    away[(rows[i] - top) * w + columns[i] - left] = 1e6;
  });
  chamfer(away, w, h);
  let best = 0;
  for (let i = 1; i < away.length; i++) if (away[i] > away[best]) best = i;
  const radius = away[best];
  if (radius < FEWEST_ACROSS) return undefined;
  const [x, y] = [left + (best % w) + 0.5, top + Math.floor(best / w) + 0.5];
  const half = HALF_SIDE * radius;
  return [
    [x - half, y - half],
    [x + half, y - half],
    [x + half, y + half],
    [x - half, y + half],
  ];
}

/** Distance to the nearest zero, in place, by two sweeps of steps 1 and √2 (Borgefors 1986). */
function chamfer(away: Float32Array, w: number, h: number): void {
  const near = (at: number, from: number, step: number): void => {
    if (away[from] + step < away[at]) away[at] = away[from] + step;
  };
  for (let y = 1; y < h - 1; y++)
    for (let x = 1; x < w - 1; x++) {
      const at = y * w + x;
      near(at, at - 1, 1);
      near(at, at - w, 1);
      near(at, at - w - 1, Math.SQRT2);
      near(at, at - w + 1, Math.SQRT2);
    }
  for (let y = h - 2; y > 0; y--)
    for (let x = w - 2; x > 0; x--) {
      const at = y * w + x;
      near(at, at + 1, 1);
      near(at, at + w, 1);
      near(at, at + w + 1, Math.SQRT2);
      near(at, at + w - 1, Math.SQRT2);
    }
}
