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
  for (let i = 0; i < out.length; i++) {
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
    for (let i = 0; i < stride; i++) out[i] = kernel[0] * ring[0][i];
    for (let k = 1; k < kernel.length; k += 2) addTwo(out, ring[k], kernel[k], ring[k + 1], kernel[k + 1]);
    const next = clampRow(y + reach + 1);
    const oldest = ring.shift()!;
    // rows below y are not overwritten yet; past the end the last one is repeated from the ring
    if (y + reach + 1 <= rows - 1) oldest.set(data.subarray(stride * next, stride * (next + 1)));
    else oldest.set(ring[ring.length - 1]);
    ring.push(oldest);
  }
}

/** Adds two weighted rows, rounded as if one after the other. */
function addTwo(out: Float32Array, a: Float32Array, wa: number, b: Float32Array, wb: number): void {
  for (let i = 0; i < out.length; i++) out[i] = Math.fround(out[i] + wa * a[i]) + wb * b[i];
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
