/** Linear algebra on three rows of any width, in place: row-major, 3 × width. */

/** Multiplies 3 × width rows by the symmetric root of (1 + h hᵀ)⁻¹. */
export function eliminateHand(h: Float64Array, rows: Float64Array, width: number): void {
  const h0 = h[0];
  const h1 = h[1];
  const h2 = h[2];
  const square = h0 * h0 + h1 * h1 + h2 * h2;
  if (square === 0) return;
  const share = (1 - 1 / Math.sqrt(1 + square)) / square;
  for (let k = 0; k < width; k++) {
    const along = share * (h0 * rows[k] + h1 * rows[width + k] + h2 * rows[2 * width + k]);
    rows[k] -= h0 * along;
    rows[width + k] -= h1 * along;
    rows[2 * width + k] -= h2 * along;
  }
}

/** Lower Cholesky factor of a 3 × 3 matrix, in place. */
export function factor3(m: Float64Array): void {
  m[0] = Math.sqrt(m[0]);
  m[3] /= m[0];
  m[6] /= m[0];
  m[4] = Math.sqrt(m[4] - m[3] * m[3]);
  m[7] = (m[7] - m[6] * m[3]) / m[4];
  m[8] = Math.sqrt(m[8] - m[6] * m[6] - m[7] * m[7]);
  m[1] = m[2] = m[5] = 0;
}

/** L⁻¹ of 3 × width rows, in place. */
export function forward3(l: Float64Array, rows: Float64Array, width: number): void {
  for (let k = 0; k < width; k++) {
    const a = rows[k] / l[0];
    const b = (rows[width + k] - l[3] * a) / l[4];
    rows[2 * width + k] = (rows[2 * width + k] - l[6] * a - l[7] * b) / l[8];
    rows[width + k] = b;
    rows[k] = a;
  }
}
