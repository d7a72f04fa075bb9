/** A photo that browsers do not show (HEIC, DNG) as a JPEG that they do: to look at and point in, not to measure. */
import type { Raster } from '../../core/photo/types.ts';

/** Rows painted at once. */
const STRIP_ROWS = 512;
/** Light, of all pixels' brightest channel, that a raw photo's picture shows as nearly white. */
const NEARLY_ALL = 0.995;
const NEARLY_WHITE = 0.85;

/** The photo at its own size: corners pointed at in it are the photo's own. */
export async function pictureOf(raster: Raster): Promise<Blob> {
  const { width_px: width, height_px: height, data } = raster;
  const canvas = new OffscreenCanvas(width, height);
  const colorSpace = /display p3/i.test(raster.profile.name) ? 'display-p3' : 'srgb';
  const context = canvas.getContext('2d', { colorSpace });
  if (!context) throw new Error('the browser gives no canvas');
  const tone = raster.bits === 16 ? toneOf(raster) : undefined;
  for (let top = 0; top < height; top += STRIP_ROWS) {
    const rows = Math.min(STRIP_ROWS, height - top);
    const strip = new ImageData(width, rows, { colorSpace });
    const rgba = strip.data;
    for (let to = 0, from = 3 * width * top; to < rgba.length; to += 4, from += 3) {
      rgba[to] = tone ? tone[data[from]] : data[from];
      rgba[to + 1] = tone ? tone[data[from + 1]] : data[from + 1];
      rgba[to + 2] = tone ? tone[data[from + 2]] : data[from + 2];
      rgba[to + 3] = 255;
    }
    context.putImageData(strip, 0, top);
  }
  return canvas.convertToBlob({ type: 'image/jpeg', quality: 0.9 });
}

/** 16-bit values to 8-bit sRGB (IEC 61966-2-1), brightened so that the photo's light fills the range. */
function toneOf({ data, profile }: Raster): Uint8Array {
  const brightest: number[] = [];
  const step = 3 * Math.max(1, Math.floor(data.length / 3 / 20_000));
  for (let i = 0; i + 2 < data.length; i += step) brightest.push(Math.max(data[i], data[i + 1], data[i + 2]));
  brightest.sort((a, b) => a - b);
  const [decode] = profile.decode;
  const light = decode[brightest[Math.floor(NEARLY_ALL * (brightest.length - 1))] ?? 0];
  const gain = Math.max(1, NEARLY_WHITE / Math.max(light, 1e-4));
  return Uint8Array.from(decode, (v) => {
    const linear = Math.min(1, gain * v);
    return Math.round(255 * (linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055));
  });
}
