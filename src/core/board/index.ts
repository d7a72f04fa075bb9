/** Board: what was measured, as pictures. */
export {
  type AnnotatedPhoto,
  type AnnotatedPhotoOptions,
  annotatedPhotoSvg,
  type PicturedPhoto,
} from './annotated-photo.ts';
export type { LegendDifference } from './legend.ts';
export { type FontFiles, type Lettering, parseLettering } from './lettering.ts';
export { encodeSrgb, type ScreenColour, screenColour } from './screen-colour.ts';
