/** Smooth random textures for benches and panels. */
import { randomOf } from './random.ts';

const SIZE = 256;

export interface LatticeNoise {
  /** Value noise in −1…1 at a place in lattice units. */
  at(x: number, y: number): number;
  /** 16384 standard normals. */
  readonly normals: Float32Array;
}

/** Value noise on a lattice of 256 × 256 random heights, smoothstep between them, repeating beyond. */
export function latticeNoise(seed: number): LatticeNoise {
  const random = randomOf(seed, 'lattice');
  const heights = Float32Array.from({ length: SIZE * SIZE }, () => random.between(-1, 1));
  const normals = Float32Array.from({ length: 16384 }, () => random.normal(0, 1));
  return {
    at: (x, y) => {
      const fx = Math.floor(x);
      const fy = Math.floor(y);
      let tx = x - fx;
      let ty = y - fy;
      tx = tx * tx * (3 - 2 * tx);
      ty = ty * ty * (3 - 2 * ty);
      const x0 = fx & 255;
      const x1 = (fx + 1) & 255;
      const y0 = (fy & 255) << 8;
      const y1 = ((fy + 1) & 255) << 8;
      const top = heights[y0 | x0] + tx * (heights[y0 | x1] - heights[y0 | x0]);
      const bottom = heights[y1 | x0] + tx * (heights[y1 | x1] - heights[y1 | x0]);
      return top + ty * (bottom - top);
    },
    normals,
  };
}
