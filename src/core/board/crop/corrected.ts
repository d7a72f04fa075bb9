/** A rectified crop through the photo's own correction: CIE XYZ under D50 for every pixel. */
import type { Lab, WhiteName } from '../../color/index.ts';
import type { Vec3 } from '../../math/linear.ts';
import type { PointPx } from '../../photo/types.ts';
import { pcsFromLab } from './output-space.ts';
import { meanLinear, type Rectified } from './rectify.ts';

/** The correction of a photo: CIELAB of linear values in the file's primaries at a place of the photo. */
export type LabAt = (linear: Vec3, at_px: PointPx) => Lab;

/** Nodes a channel of the table; a panel's colours span little, and the correction is smooth. */
const NODES = 9;
/** Grid of places at which the light's fall-off is asked for. */
const PLACES = 4;

/** XYZ under D50 of every pixel, interleaved. */
export function correctedPcs(crop: Rectified, labAt: LabAt, white: WhiteName): Float32Array {
  const pcsOf = pcsFromLab(white);
  const labOf = colourTable(crop, labAt);
  const fallOff = fallOffOver(crop, (linear, at_px) => pcsOf(labAt(linear, at_px))[1]);
  const { width_px, height_px, linear } = crop;
  const out = new Float32Array(linear.length);
  for (let y = 0, at = 0; y < height_px; y++)
    for (let x = 0; x < width_px; x++, at += 3) {
      const pcs = pcsOf(labOf(linear[at], linear[at + 1], linear[at + 2]));
      const gain = fallOff((x + 0.5) / width_px, (y + 0.5) / height_px);
      out[at] = gain * pcs[0];
      out[at + 1] = gain * pcs[1];
      out[at + 2] = gain * pcs[2];
    }
  return out;
}

/** The correction at the crop's middle as a table over the crop's own colours, linear between nodes in the cube root of light. */
function colourTable({ linear, toPhoto }: Rectified, labAt: LabAt): (r: number, g: number, b: number) => Lab {
  const middle = toPhoto(0.5, 0.5);
  const low = [1, 1, 1];
  const high = [0, 0, 0];
  for (let i = 0; i < linear.length; i += 3)
    for (let c = 0; c < 3; c++) {
      const v = linear[i + c];
      if (v < low[c]) low[c] = v;
      if (v > high[c]) high[c] = v;
    }
  const from = low.map(Math.cbrt);
  const step = high.map((h, c) => Math.max(1e-6, (Math.cbrt(h) - from[c]) / (NODES - 1)));
  const nodes = new Float32Array(3 * NODES ** 3);
  for (let i = 0; i < NODES ** 3; i++) {
    const index = [Math.floor(i / NODES ** 2), Math.floor(i / NODES) % NODES, i % NODES];
    const value = index.map((n, c) => (from[c] + n * step[c]) ** 3) as unknown as Vec3;
    nodes.set(labAt(value, middle), 3 * i);
  }
  const place = (value: number, c: number): number =>
    Math.max(0, Math.min(NODES - 1.000001, (Math.cbrt(value) - from[c]) / step[c]));
  // without an array a corner: there is a call for each pixel
  return (r, g, b) => {
    const [x, y, z] = [place(r, 0), place(g, 1), place(b, 2)];
    const [i, j, k] = [Math.floor(x), Math.floor(y), Math.floor(z)];
    const [s, t, u] = [x - i, y - j, z - k];
    let [l, a, bb] = [0, 0, 0];
    for (let corner = 0; corner < 8; corner++) {
      const di = corner >> 2;
      const dj = (corner >> 1) & 1;
      const dk = corner & 1;
      const weight = (di ? s : 1 - s) * (dj ? t : 1 - t) * (dk ? u : 1 - u);
      const at = 3 * (((i + di) * NODES + j + dj) * NODES + k + dk);
      l += weight * nodes[at];
      a += weight * nodes[at + 1];
      bb += weight * nodes[at + 2];
    }
    return [l, a, bb];
  };
}

/** What the light's fall-off over the crop asks of each place, against its middle. */
function fallOffOver(
  crop: Rectified,
  luminance: (linear: Vec3, at_px: PointPx) => number,
): (u: number, v: number) => number {
  const mean = meanLinear(crop);
  const brightness = (u: number, v: number): number => Math.max(1e-5, luminance(mean, crop.toPhoto(u, v)));
  const middle = brightness(0.5, 0.5);
  const gains = Array.from(
    { length: (PLACES + 1) ** 2 },
    (_, i) => brightness((i % (PLACES + 1)) / PLACES, Math.floor(i / (PLACES + 1)) / PLACES) / middle,
  );
  return (u, v) => {
    const i = Math.min(PLACES - 1, Math.floor(u * PLACES));
    const j = Math.min(PLACES - 1, Math.floor(v * PLACES));
    const s = u * PLACES - i;
    const t = v * PLACES - j;
    const at = j * (PLACES + 1) + i;
    return (
      (1 - t) * ((1 - s) * gains[at] + s * gains[at + 1]) +
      t * ((1 - s) * gains[at + PLACES + 1] + s * gains[at + PLACES + 2])
    );
  };
}
