/** The lines to beat: plain corrections every photo editor's reader knows, on the same readings. */

import type { SceneReadings } from '../../../samples/scene/index.ts';
import {
  type Lab,
  labFromReflectance,
  labFromXyz,
  toGrid,
  viewing,
  xyzFromLab,
} from '../../../src/core/color/index.ts';
import { cholesky, choleskySolve, multiply3, type Vec3 } from '../../../src/core/math/linear.ts';

const white = viewing('D50/2').white;
const usable = (r: SceneReadings['patches'][number]['reading']): boolean =>
  [0, 1, 2].every((c) => r.encoded[c] > 0.03 && r.encoded[c] < 0.99);

interface Pair {
  readonly rgb: Vec3;
  readonly xyz: Vec3;
  readonly neutral: boolean;
}

/** Weighted least squares of XYZ on features, ridge tiny. */
function regress(pairs: readonly Pair[], features: (rgb: Vec3) => number[]): (rgb: Vec3) => Vec3 {
  const n = features([0.1, 0.1, 0.1]).length;
  const h = new Float64Array(n * n);
  const b = [0, 1, 2].map(() => new Float64Array(n));
  for (const p of pairs) {
    const f = features(p.rgb);
    const w = 1 / Math.cbrt((p.xyz[1] + 0.002) ** 2);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) h[i * n + j] += w * f[i] * f[j];
      for (let c = 0; c < 3; c++) b[c][i] += w * f[i] * p.xyz[c];
    }
  }
  let trace = 0;
  for (let i = 0; i < n; i++) trace += h[i * n + i];
  const l = cholesky(h, n, 1e-9 * trace);
  const m = b.map((v) => choleskySolve(l, n, v));
  return (rgb) => {
    const f = features(rgb);
    return m.map((row) => row.reduce((s, v, i) => s + v * f[i], 0)) as unknown as Vec3;
  };
}

const linearTerms = (rgb: Vec3): number[] => [...rgb];
const rootTerms = ([r, g, b]: Vec3): number[] => [
  r,
  g,
  b,
  Math.sqrt(Math.max(0, r * g)),
  Math.sqrt(Math.max(0, g * b)),
  Math.sqrt(Math.max(0, r * b)),
];

/** A smooth curve per channel through the neutrals: light over linear reading, monotone, linear between in logs. */
function neutralCurve(pairs: readonly Pair[]): (rgb: Vec3) => Vec3 {
  const neutrals = pairs.filter((p) => p.neutral);
  const perChannel = [0, 1, 2].map((c) => {
    const points = neutrals
      .map((p) => [Math.log(p.rgb[c] + 1e-4), Math.log(p.xyz[1])] as const)
      .sort((a, b) => a[0] - b[0]);
    // mean of like greys
    const merged: [number, number, number][] = [];
    for (const [x, y] of points) {
      const last = merged[merged.length - 1];
      if (last && Math.abs(last[1] / last[2] - y) < 0.08) {
        last[0] += x;
        last[1] += y;
        last[2] += 1;
      } else merged.push([x, y, 1]);
    }
    return merged.map(([x, y, n]) => [x / n, y / n] as const);
  });
  return (rgb) =>
    rgb.map((v, c) => {
      const t = perChannel[c];
      const x = Math.log(Math.max(v, 0) + 1e-4);
      let i = t.findIndex((p) => p[0] > x) - 1;
      if (i === -2) i = t.length - 2;
      i = Math.max(0, Math.min(t.length - 2, i));
      const [x0, y0] = t[i];
      const [x1, y1] = t[i + 1];
      return Math.exp(y0 + ((x - x0) / (x1 - x0 || 1)) * (y1 - y0));
    }) as unknown as Vec3;
}

const SRGB_TO_XYZ_D50 = [
  0.4360747, 0.3850649, 0.1430804, 0.2225045, 0.7168786, 0.0606169, 0.0139322, 0.0971045, 0.7141733,
] as const;

export type Baseline = (rgb: Vec3) => Lab;

/** The plain corrections trained on a card's readings. */
export function plainCorrections(
  patches: readonly { readonly linear: Vec3; readonly lab: Lab; readonly neutral: boolean }[],
): Record<'matrix' | 'greyPoint' | 'rootPolynomial' | 'curveThenRoot', Baseline> {
  const pairs = patches.map((p) => ({ rgb: p.linear, xyz: xyzFromLab(p.lab, white), neutral: p.neutral }));
  const matrix = regress(pairs, linearTerms);
  const root = regress(pairs, rootTerms);
  const curve = neutralCurve(pairs);
  const afterCurve = regress(
    pairs.map((p) => ({ ...p, rgb: curve(p.rgb) })),
    rootTerms,
  );
  const grey = pairs
    .filter((p) => p.neutral)
    .reduce((best, p) => (Math.abs(p.xyz[1] - 0.2) < Math.abs(best.xyz[1] - 0.2) ? p : best));
  const gains = grey.rgb.map((v) => grey.xyz[1] / v);
  return {
    matrix: (rgb) => labFromXyz(matrix(rgb), white),
    rootPolynomial: (rgb) => labFromXyz(root(rgb), white),
    curveThenRoot: (rgb) => labFromXyz(afterCurve(curve(rgb)), white),
    greyPoint: (rgb) =>
      labFromXyz(multiply3(SRGB_TO_XYZ_D50, rgb.map((v, c) => v * gains[c]) as unknown as Vec3), white),
  };
}

/** Baselines trained on a scene's card. */
export function baselines(s: SceneReadings): ReturnType<typeof plainCorrections> {
  const under = viewing('D50/2');
  return plainCorrections(
    s.patches
      .filter((p) => usable(p.reading))
      .map((p) => ({
        linear: p.reading.linear,
        lab: p.patch.lab ?? labFromReflectance(toGrid(p.patch.spectrum!), under),
        neutral: p.patch.role === 'neutral',
      })),
  );
}
