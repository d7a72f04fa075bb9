/** Measure: from photos of panels and the card to corrected colours, one photo or a whole job. */
export { type JobColours, measureJob } from './job.ts';
export { type MeasuredPanel, type MeasuredPhoto, type MeasureOptions, measurePhoto } from './photo.ts';
