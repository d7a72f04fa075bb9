/** Correction: what camera and light did to the colours of a photo, learned from the card in it, and undone. */
export {
  type CorrectionOptions,
  correctPhoto,
  type PhotoCorrection,
  plainLab,
  prepareCorrection,
} from './correct-photo.ts';
export { mayBeOnePaint, type Paint } from './paint.ts';
export { type CorrectionPrior, correctionPrior } from './prior.ts';
export {
  type Disagreement,
  type ReadColours,
  readColours,
  type StatedColour,
} from './read-colours.ts';
export type { Sighting } from './sightings.ts';
export type * from './types.ts';
export { type Veil, veilOver } from './veil.ts';
