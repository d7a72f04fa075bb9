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
  const tileRow = (y: number): number => across * Math.min(down - 1, Math.floor((y * down) / height_px));
  const columns = Uint32Array.from({ length: width_px }, (_, x) =>
    Math.min(across - 1, Math.floor((x * across) / width_px)),
  );
  const sums = new Float64Array(3 * across * down);
  const counts = new Float64Array(across * down);
  for (let y = 0, at = 0; y < height_px; y++) {
    const row = tileRow(y);
    for (let x = 0; x < width_px; x++, at += 3) {
      const tile = row + columns[x];
      counts[tile]++;
      sums[3 * tile] += pcs[at];
      sums[3 * tile + 1] += pcs[at + 1];
      sums[3 * tile + 2] += pcs[at + 2];
    }
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
  const mask = new Uint8Array(width_px * height_px);
  for (let y = 0, i = 0; y < height_px; y++) {
    const row = tileRow(y);
    for (let x = 0; x < width_px; x++, i++) mask[i] = odd[row + columns[x]] ? 0 : 1;
  }
  return mask;
}

function median(values: Float64Array): number {
  const sorted = values.slice().sort();
  return sorted[sorted.length >> 1];
}
