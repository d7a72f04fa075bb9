/** Gaussian blur of rows of interleaved RGB, in place: what lens and demosaicing take of sharpness. */
export function blurRows(data: Float32Array, width: number, rows: number, sigma_px: number): void {
  if (!(sigma_px > 0)) return;
  const kernel = gaussianKernel(sigma_px);
  const reach = (kernel.length - 1) / 2;
  const line = new Float32Array(3 * (width + 2 * reach));
  for (let y = 0; y < rows; y++) {
    const from = 3 * width * y;
    line.set(data.subarray(from, from + 3 * width), 3 * reach);
    for (let k = 0; k < reach; k++)
      for (let c = 0; c < 3; c++) {
        line[3 * k + c] = data[from + c];
        line[3 * (reach + width + k) + c] = data[from + 3 * (width - 1) + c];
      }
    for (let i = 0; i < 3 * width; i++) {
      let sum = 0;
      for (let k = 0; k < kernel.length; k++) sum += kernel[k] * line[i + 3 * k];
      data[from + i] = sum;
    }
  }
  const stride = 3 * width;
  const ring = Array.from({ length: kernel.length }, () => new Float32Array(stride));
  const clampRow = (y: number): number => Math.min(rows - 1, Math.max(0, y));
  for (let k = 0; k < kernel.length; k++) {
    const y = clampRow(k - reach);
    ring[k].set(data.subarray(stride * y, stride * (y + 1)));
  }
  for (let y = 0; y < rows; y++) {
    const out = data.subarray(stride * y, stride * (y + 1));
    out.fill(0);
    for (let k = 0; k < kernel.length; k++) {
      const w = kernel[k];
      const from = ring[k];
      for (let i = 0; i < stride; i++) out[i] += w * from[i];
    }
    const next = clampRow(y + reach + 1);
    const oldest = ring.shift()!;
    // rows below y are not overwritten yet; past the end the last one is repeated from the ring
    if (y + reach + 1 <= rows - 1) oldest.set(data.subarray(stride * next, stride * (next + 1)));
    else oldest.set(ring[ring.length - 1]);
    ring.push(oldest);
  }
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
