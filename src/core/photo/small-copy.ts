/** Most pixels of a small copy: tags of 60 px in a photo of 12 megapixels are 15 px wide on it. */
const SMALL_COPY_PIXELS = 1.6e6;

/** How many times smaller a copy for a first look is: 1, 2, 4 or 8, at which decoders can leave work out. */
export function smallCopyFactor(width_px: number, height_px: number): number {
  return [1, 2, 4].find((f) => (width_px * height_px) / (f * f) <= SMALL_COPY_PIXELS) ?? 8;
}
