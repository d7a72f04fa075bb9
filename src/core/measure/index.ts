/** Measure: from photos of panels and the card to corrected colours, one photo or a whole job. */
export { type JobColours, joinJob, measureJob } from './job.ts';
export {
  type MeasuredPanel,
  type MeasuredPhoto,
  type MeasureOptions,
  measuredPhoto,
  measurePhoto,
} from './photo.ts';
export {
  cardKey,
  placesIn,
  type ReadPhoto,
  type ReadPlace,
  readPhoto,
  readPlace,
  readWholePhoto,
  rereadPhoto,
} from './read-photo.ts';
export { thingsOf } from './things.ts';
export { unmeasuredWarnings } from './unmeasured.ts';
