/** Turns a picture upright by its orientation tag, 1–8 (TIFF 6.0, tag 274). */
export function turned<T extends Uint8Array | Uint16Array>(
  stored: { readonly width_px: number; readonly height_px: number; readonly data: T },
  orientation: number,
): { readonly width_px: number; readonly height_px: number; readonly data: T } {
  if (!(orientation >= 2 && orientation <= 8)) return stored;
  const { width_px: w, height_px: h, data } = stored;
  // a row of the stored picture runs along the upright picture's rows, or down its columns
  const swaps = orientation >= 5;
  const fromRight = [2, 3, 7, 8].includes(orientation);
  const fromBelow = [3, 4, 6, 7].includes(orientation);
  const [width_px, height_px] = swaps ? [h, w] : [w, h];
  const out = data.slice() as T;
  for (let y = 0; y < height_px; y++)
    for (let x = 0; x < width_px; x++) {
      const [u, v] = swaps ? [y, x] : [x, y];
      const sx = fromRight ? w - 1 - u : u;
      const sy = fromBelow ? h - 1 - v : v;
      const from = 3 * (sy * w + sx);
      const to = 3 * (y * width_px + x);
      out[to] = data[from];
      out[to + 1] = data[from + 1];
      out[to + 2] = data[from + 2];
    }
  return { width_px, height_px, data: out };
}
