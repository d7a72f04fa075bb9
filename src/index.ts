/**
 * The library: pure functions for Node and browsers. Pixels in, colours, differences, advice and words out; it reads no
 * files, asks no clock and keeps no state. For reading photos and files in Node see `sprayout/node`.
 */
export type { CardDefinition, CardMarker, CardPatch } from '../shared/schemas/card.ts';
export type { Job, JobPanel, Measured, Mix } from '../shared/schemas/job.ts';
export type { PanelsFile } from '../shared/schemas/panels.ts';
export {
  ADVISE_SETTINGS,
  type Advice,
  type AdviseContext,
  type AdviseSettings,
  advise,
  type Names,
  PRICES,
  type Prices,
  type Suggestion,
} from './core/advise/index.ts';
export { type Ladder, type LadderCell, type LadderSheet, ladderOf } from './core/advise/ladder.ts';
export { OWN_CARD, OWN_STRIPS, parseCard } from './core/card/index.ts';
export { deltaE2000, type Lab, type LightColour, type WhiteName } from './core/color/index.ts';
export {
  type ComparedPanel,
  type CompareOptions,
  type Comparison,
  comparePanels,
  DEFAULT_TOLERANCES,
  type Difference,
  type PairDifference,
  type TargetDifference,
  type Tolerances,
} from './core/compare/index.ts';
export type { CardCheck, LabEnsemble } from './core/correction/types.ts';
export { type ErrorCode, exitCodeOf, SprayoutError, type Warning } from './core/errors.ts';
export {
  type FilmData,
  type FilmDataOptions,
  type FilmFit,
  filmDataOf,
  fitFilm,
  type PanelResidual,
  type Prediction,
  predict,
  type Recipe,
} from './core/film/index.ts';
export {
  type PackedBundle,
  type PackOptions,
  packBundle,
  type UnpackedBundle,
  type UnpackOptions,
  unpackBundle,
} from './core/job/bundle/index.ts';
export { parseJob, parsePanels } from './core/job/index.ts';
export {
  type Lights,
  lightsOfJob,
  type PanelSurface,
  surfacesIn,
  type Verdict,
} from './core/lights/index.ts';
export {
  type JobColours,
  type MeasuredPhoto,
  type MeasureOptions,
  measureJob,
  measurePhoto,
} from './core/measure/index.ts';
export {
  CAUTIONS,
  type Caution,
  correctPot,
  type MixingSheet,
  mixingSheet,
  type Pot,
  type PotCorrection,
  type PotImpossible,
  type PotMix,
  PRACTICE,
  type Practice,
  parsePractice,
  type SheetRequest,
} from './core/mix/index.ts';
export { profileFromIcc, srgbProfile } from './core/photo/index.ts';
export type { ColourProfile, PointPx, QuadPx, Raster } from './core/photo/types.ts';
