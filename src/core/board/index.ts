/** Board: what was measured, as pictures and documents. */
export {
  type AnnotatedPhoto,
  type AnnotatedPhotoOptions,
  annotatedPhotoSvg,
  type PicturedPhoto,
} from './annotated-photo.ts';
export {
  type BoardRecord,
  type BoardReference,
  boardCode,
  codeModules,
  jobReference,
  parseBoardCode,
  type RecordedPanel,
} from './code.ts';
export {
  embedProfile,
  encodeTrue,
  type OutputSpaceName,
  outputProfile,
  type PanelCrop,
} from './crop/index.ts';
export { boardDocument } from './document.ts';
export { boardHtml } from './html.ts';
export type { LegendDifference } from './legend.ts';
export { type BoardFonts, type FontFiles, type Lettering, parseLettering } from './lettering.ts';
export { boardLights } from './light-shifts.ts';
export { BOARD_PAPERS, type BoardPaper, MOST_PER_SHEET, usualPerSheet } from './page/format.ts';
export { type PicturedJobPhoto, type PictureOptions, panelPictures } from './pictures.ts';
export { READINGS_FORMATS, readingsOf } from './readings/index.ts';
export {
  type BoardOptions,
  boardPdf,
  boardSvgs,
  missingOnBoard,
  notesLeftOut,
} from './render.ts';
export { encodeSrgb, type ScreenColour, screenColour } from './screen-colour.ts';
export type {
  BoardDifference,
  BoardDocument,
  BoardLights,
  BoardPanel,
  BoardPicture,
  BoardRequest,
} from './types.ts';
