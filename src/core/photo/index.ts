/** Photo: what the pixels of a file mean, and reading areas of them. */
export { saysAdobeRgb } from './exif.ts';
export { adobeRgbProfile, profileFromIcc, srgbProfile } from './icc.ts';
export { sampleQuad } from './sample.ts';
export { type ImageType, type SniffedImage, sniffImage } from './sniff.ts';
export type * from './types.ts';
