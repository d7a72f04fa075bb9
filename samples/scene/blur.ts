/** Gaussian blur of rows of interleaved RGB, in place: what lens and demosaicing take of sharpness. */
export function blurRows(data: Float32Array, width: number, rows: number, sigma_px: number): void {
  if (!(sigma_px > 0)) return;
  const kernel = gaussianKernel(sigma_px);
  const stride = 3 * width;
  blurAlong(data, stride, rows, kernel);
  blurAcross(data, stride, rows, kernel);
}

function blurAlong(data: Float32Array, stride: number, rows: number, kernel: Float32Array): void {
  const side = 3 * ((kernel.length - 1) / 2);
  const line = new Float32Array(stride + 2 * side);
  for (let y = 0; y < rows; y++) {
    const row = data.subarray(stride * y, stride * (y + 1));
    line.set(row, side);
    for (let k = 0; k < side; k++) {
      line[k] = row[k % 3];
      line[side + stride + k] = row[stride - 3 + (k % 3)];
    }
    weigh(line, kernel, row);
  }
}

/** Sums of a line's values 3 apart, weighted. */
function weigh(line: Float32Array, kernel: Float32Array, out: Float32Array): void {
  if (kernel.length === 5) {
    // a usual lens's, written out: twice as fast
    const [a, b, c, d, e] = kernel;
    for (let i = 0; i < out.length; i++)
      out[i] = a * line[i] + b * line[i + 3] + c * line[i + 6] + d * line[i + 9] + e * line[i + 12];
    return;
  }
  const whole = out.length - (out.length % 4);
  // four sums side by side: none waits for the one before
  for (let i = 0; i < whole; i += 4) {
    let [a, b, c, d] = [0, 0, 0, 0];
    for (let k = 0, at = i; k < kernel.length; k++, at += 3) {
      const w = kernel[k];
      a += w * line[at];
      b += w * line[at + 1];
      c += w * line[at + 2];
      d += w * line[at + 3];
    }
    out[i] = a;
    out[i + 1] = b;
    out[i + 2] = c;
    out[i + 3] = d;
  }
  for (let i = whole; i < out.length; i++) {
    let sum = 0;
    for (let k = 0; k < kernel.length; k++) sum += kernel[k] * line[i + 3 * k];
    out[i] = sum;
  }
}

function blurAcross(data: Float32Array, stride: number, rows: number, kernel: Float32Array): void {
  const reach = (kernel.length - 1) / 2;
  const ring = Array.from({ length: kernel.length }, () => new Float32Array(stride));
  const clampRow = (y: number): number => Math.min(rows - 1, Math.max(0, y));
  for (let k = 0; k < kernel.length; k++) {
    const y = clampRow(k - reach);
    ring[k].set(data.subarray(stride * y, stride * (y + 1)));
  }
  for (let y = 0; y < rows; y++) {
    const out = data.subarray(stride * y, stride * (y + 1));
    setWeighted(out, ring[0], kernel[0]);
    let k = 1;
    for (; k + 3 < kernel.length; k += 4) addFour(out, ring, kernel, k);
    for (; k < kernel.length; k++) addWeighted(out, ring[k], kernel[k]);
    const next = clampRow(y + reach + 1);
    const oldest = ring.shift()!;
    // rows below y are not overwritten yet; past the end the last one is repeated from the ring
    if (y + reach + 1 <= rows - 1) oldest.set(data.subarray(stride * next, stride * (next + 1)));
    else oldest.set(ring[ring.length - 1]);
    ring.push(oldest);
  }
}

function setWeighted(out: Float32Array, row: Float32Array, weight: number): void {
  for (let i = 0; i < out.length; i++) out[i] = weight * row[i];
}

function addWeighted(out: Float32Array, row: Float32Array, weight: number): void {
  for (let i = 0; i < out.length; i++) out[i] += weight * row[i];
}

/** Adds four weighted rows from the `k`th on, rounded as if one after the other. */
function addFour(out: Float32Array, rows: readonly Float32Array[], weights: Float32Array, k: number): void {
  const [a, b, c, d] = rows.slice(k, k + 4);
  const [wa, wb, wc, wd] = weights.subarray(k, k + 4);
  const { fround } = Math;
  for (let i = 0; i < out.length; i++)
    out[i] = fround(fround(fround(out[i] + wa * a[i]) + wb * b[i]) + wc * c[i]) + wd * d[i];
}

/** Odd number of weights that sum to 1, out to three standard deviations. */
export function gaussianKernel(sigma_px: number): Float32Array {
  const reach = Math.max(1, Math.ceil(3 * sigma_px));
  const weights = Float32Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-0.5 * ((i - reach) / sigma_px) ** 2),
  );
  const sum = weights.reduce((a, b) => a + b, 0);
  return weights.map((w) => w / sum);
}
