/**
 * The library: pure functions for Node and browsers. Pixels in, colours, differences and words out; it reads no
 * files, asks no clock and keeps no state. For reading photos and files in Node see `sprayout/node`.
 */
export type { CardDefinition, CardMarker, CardPatch } from '../shared/schemas/card.ts';
export type { Job, JobPanel, Measured, Mix } from '../shared/schemas/job.ts';
export type { PanelsFile } from '../shared/schemas/panels.ts';
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
export { parseJob, parsePanels } from './core/job/index.ts';
export {
  type JobColours,
  type MeasuredPhoto,
  type MeasureOptions,
  measureJob,
  measurePhoto,
} from './core/measure/index.ts';
export { profileFromIcc, srgbProfile } from './core/photo/index.ts';
export type { ColourProfile, PointPx, QuadPx, Raster } from './core/photo/types.ts';
