import type { Triple } from './spectral.ts';

/** 3×3 matrix, row-major. */
export type Matrix3 = readonly [number, number, number, number, number, number, number, number, number];

export function apply(m: Matrix3, v: Triple): Triple {
  return [
    m[0] * v[0] + m[1] * v[1] + m[2] * v[2],
    m[3] * v[0] + m[4] * v[1] + m[5] * v[2],
    m[6] * v[0] + m[7] * v[1] + m[8] * v[2],
  ];
}

export function product(a: Matrix3, b: Matrix3): Matrix3 {
  const out: number[] = [];
  for (let r = 0; r < 3; r++)
    for (let c = 0; c < 3; c++) out.push(a[3 * r] * b[c] + a[3 * r + 1] * b[3 + c] + a[3 * r + 2] * b[6 + c]);
  return out as unknown as Matrix3;
}

export function inverse(m: Matrix3): Matrix3 {
  const [a, b, c, d, e, f, g, h, i] = m;
  const det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  const out = [
    e * i - f * h,
    c * h - b * i,
    b * f - c * e,
    f * g - d * i,
    a * i - c * g,
    c * d - a * f,
    d * h - e * g,
    b * g - a * h,
    a * e - b * d,
  ];
  return out.map((v) => v / det) as unknown as Matrix3;
}

/** Solves a small dense system by Gaussian elimination with pivoting; `a` is n rows of n. */
export function solve(a: readonly (readonly number[])[], b: readonly number[]): number[] {
  const n = b.length;
  const m = a.map((row, i) => [...row, b[i]]);
  for (let k = 0; k < n; k++) {
    let pivot = k;
    for (let r = k + 1; r < n; r++) if (Math.abs(m[r][k]) > Math.abs(m[pivot][k])) pivot = r;
    [m[k], m[pivot]] = [m[pivot], m[k]];
    for (let r = k + 1; r < n; r++) {
      const q = m[r][k] / m[k][k];
      for (let c = k; c <= n; c++) m[r][c] -= q * m[k][c];
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let k = n - 1; k >= 0; k--) {
    let s = m[k][n];
    for (let c = k + 1; c < n; c++) s -= m[k][c] * x[c];
    x[k] = s / m[k][k];
  }
  return x;
}

/** Least squares: x minimising Σ weight·(row·x − target)². */
export function leastSquares(
  rows: readonly (readonly number[])[],
  targets: readonly number[],
  ridge = 0,
): number[] {
  const n = rows[0].length;
  const normal = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  const right = new Array<number>(n).fill(0);
  rows.forEach((row, r) => {
    for (let i = 0; i < n; i++) {
      right[i] += row[i] * targets[r];
      for (let j = 0; j < n; j++) normal[i][j] += row[i] * row[j];
    }
  });
  for (let i = 0; i < n; i++) normal[i][i] += ridge;
  return solve(normal, right);
}
