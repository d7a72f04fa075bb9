/** Small dense linear algebra on row-major Float64Arrays, for the hot paths. */

/** Three numbers: a colour, a channel triple, a row. */
export type Vec3 = readonly [number, number, number];
/** A 3×3 matrix, row-major. */
export type Mat3 = readonly [number, number, number, number, number, number, number, number, number];

export function multiply3(m: Mat3, v: Vec3): Vec3 {
  return [
    m[0] * v[0] + m[1] * v[1] + m[2] * v[2],
    m[3] * v[0] + m[4] * v[1] + m[5] * v[2],
    m[6] * v[0] + m[7] * v[1] + m[8] * v[2],
  ];
}

/** a·b of two 3×3 matrices. */
export function compose3(a: Mat3, b: Mat3): Mat3 {
  const out = new Array<number>(9);
  for (let r = 0; r < 3; r++)
    for (let c = 0; c < 3; c++)
      out[3 * r + c] = a[3 * r] * b[c] + a[3 * r + 1] * b[3 + c] + a[3 * r + 2] * b[6 + c];
  return out as unknown as Mat3;
}

export function determinant3([a, b, c, d, e, f, g, h, i]: Mat3): number {
  return a * (e * i - f * h) + b * (f * g - d * i) + c * (d * h - e * g);
}

/** Inverse of a 3×3 matrix; throws RangeError when it is singular. */
export function invert3(m: Mat3): Mat3 {
  const [a, b, c, d, e, f, g, h, i] = m;
  const det = determinant3(m);
  if (!Number.isFinite(det) || Math.abs(det) < 1e-300) throw new RangeError('singular 3×3 matrix');
  return [
    (e * i - f * h) / det,
    (c * h - b * i) / det,
    (b * f - c * e) / det,
    (f * g - d * i) / det,
    (a * i - c * g) / det,
    (c * d - a * f) / det,
    (d * h - e * g) / det,
    (b * g - a * h) / det,
    (a * e - b * d) / det,
  ];
}

/**
 * Lower Cholesky factor of a symmetric positive definite n×n matrix, in a new array.
 * `jitter` is added to the diagonal. Throws RangeError when the matrix is not positive definite.
 */
export function cholesky(a: Float64Array, n: number, jitter = 0): Float64Array {
  const l = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    const ri = i * n;
    for (let j = 0; j <= i; j++) {
      const rj = j * n;
      let s = a[ri + j] + (i === j ? jitter : 0);
      for (let k = 0; k < j; k++) s -= l[ri + k] * l[rj + k];
      if (i === j) {
        if (!(s > 0)) throw new RangeError('matrix is not positive definite');
        l[ri + i] = Math.sqrt(s);
      } else l[ri + j] = s / l[rj + j];
    }
  }
  return l;
}

/** Solves L·y = b in place for a lower triangular L. */
export function solveLower(l: Float64Array, n: number, b: Float64Array): Float64Array {
  for (let i = 0; i < n; i++) {
    let s = b[i];
    for (let k = 0; k < i; k++) s -= l[i * n + k] * b[k];
    b[i] = s / l[i * n + i];
  }
  return b;
}

/** Solves Lᵀ·x = b in place for a lower triangular L. */
export function solveLowerTransposed(l: Float64Array, n: number, b: Float64Array): Float64Array {
  for (let i = n - 1; i >= 0; i--) {
    let s = b[i];
    for (let k = i + 1; k < n; k++) s -= l[k * n + i] * b[k];
    b[i] = s / l[i * n + i];
  }
  return b;
}

/** Solves A·x = b given the lower Cholesky factor of A; b is overwritten with x. */
export function choleskySolve(l: Float64Array, n: number, b: Float64Array): Float64Array {
  return solveLowerTransposed(l, n, solveLower(l, n, b));
}

/** Copies the lower triangle of an n×n matrix to the upper, in place. */
export function mirrorLower(a: Float64Array, n: number): void {
  for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) a[j * n + i] = a[i * n + j];
}

/** Inner product of `count` values of two arrays, from places i and j on. */
export function innerProduct(a: Float64Array, i: number, b: Float64Array, j: number, count: number): number {
  let s = 0;
  for (let k = 0; k < count; k++) s += a[i + k] * b[j + k];
  return s;
}

/** Eigenvalues (descending) and eigenvectors (columns of `vectors`, row-major) of a symmetric matrix, by Jacobi rotations. */
export function symmetricEigen(a: Float64Array, n: number): { values: Float64Array; vectors: Float64Array } {
  const m = a.slice();
  const v = new Float64Array(n * n);
  for (let i = 0; i < n; i++) v[i * n + i] = 1;
  for (let sweep = 0; sweep < 60; sweep++) {
    let off = 0;
    let diag = 0;
    for (let i = 0; i < n; i++) {
      diag += m[i * n + i] ** 2;
      for (let j = 0; j < i; j++) off += m[i * n + j] ** 2;
    }
    if (off <= 1e-26 * (diag + 1e-300)) break;
    for (let p = 0; p < n - 1; p++) for (let q = p + 1; q < n; q++) rotate(m, v, n, p, q);
  }
  const order = Array.from({ length: n }, (_, i) => i).sort((i, j) => m[j * n + j] - m[i * n + i]);
  const values = new Float64Array(n);
  const vectors = new Float64Array(n * n);
  order.forEach((from, to) => {
    values[to] = m[from * n + from];
    for (let r = 0; r < n; r++) vectors[r * n + to] = v[r * n + from];
  });
  return { values, vectors };
}

function rotate(m: Float64Array, v: Float64Array, n: number, p: number, q: number): void {
  const apq = m[p * n + q];
  if (Math.abs(apq) < 1e-300) return;
  const theta = (m[q * n + q] - m[p * n + p]) / (2 * apq);
  const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
  const c = 1 / Math.sqrt(t * t + 1);
  const s = t * c;
  for (let k = 0; k < n; k++) {
    const kp = m[k * n + p];
    const kq = m[k * n + q];
    m[k * n + p] = c * kp - s * kq;
    m[k * n + q] = s * kp + c * kq;
  }
  for (let k = 0; k < n; k++) {
    const pk = m[p * n + k];
    const qk = m[q * n + k];
    m[p * n + k] = c * pk - s * qk;
    m[q * n + k] = s * pk + c * qk;
    const vp = v[k * n + p];
    const vq = v[k * n + q];
    v[k * n + p] = c * vp - s * vq;
    v[k * n + q] = s * vp + c * vq;
  }
}
