/** Which pixels of a crop show the surface: all but areas of glare, a hanging hole, tape. Single sparkles stay. */

/** Side of a tile, pixels of the crop. */
const TILE_PX = 6;
/** A tile is another thing when it is this far off the middle one in ln(light) … */
const LEAST_OFF = 0.16;
/** … or this many scatters of the tiles, whichever is more. */
const SCATTERS = 6;

/** One byte a pixel: 1 where the surface shows. */
export function surfaceMask(pcs: Float32Array, width_px: number, height_px: number): Uint8Array {
  const across = Math.max(1, Math.floor(width_px / TILE_PX));
  const down = Math.max(1, Math.floor(height_px / TILE_PX));
  const tileOf = (x: number, y: number): number =>
    Math.min(down - 1, Math.floor((y * down) / height_px)) * across +
    Math.min(across - 1, Math.floor((x * across) / width_px));
  const sums = new Float64Array(3 * across * down);
  const counts = new Float64Array(across * down);
  for (let y = 0; y < height_px; y++)
    for (let x = 0; x < width_px; x++) {
      const tile = tileOf(x, y);
      counts[tile]++;
      for (let c = 0; c < 3; c++) sums[3 * tile + c] += pcs[3 * (y * width_px + x) + c];
    }
  const odd = new Uint8Array(across * down);
  for (let c = 0; c < 3; c++) {
    const logs = Float64Array.from(counts, (n, tile) => Math.log(Math.max(1e-5, sums[3 * tile + c] / n)));
    const middle = median(logs);
    const scatter = 1.4826 * median(logs.map((v) => Math.abs(v - middle)));
    const limit = Math.max(LEAST_OFF, SCATTERS * scatter);
    logs.forEach((v, tile) => {
      if (Math.abs(v - middle) > limit) odd[tile] = 1;
    });
  }
  return Uint8Array.from({ length: width_px * height_px }, (_, i) =>
    odd[tileOf(i % width_px, Math.floor(i / width_px))] ? 0 : 1,
  );
}

function median(values: Float64Array): number {
  const sorted = values.slice().sort();
  return sorted[sorted.length >> 1];
}
