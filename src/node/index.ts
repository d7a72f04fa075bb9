/** Reading photos, cards, panels and jobs from files in Node; the arithmetic is in `sprayout`. */
export { type AnnotateOptions, writeAnnotatedPhoto } from './annotate.ts';
export { type JobPhotos, measureJobFile, readJobPhotos, type Tell } from './measure-job-file.ts';
export { openBundle } from './open-bundle.ts';
export { readBundle } from './read-bundle.ts';
export { readCard } from './read-card.ts';
export { type JobFile, type ReadJobOptions, readJob } from './read-job.ts';
export { readPanels } from './read-panels.ts';
export { readPhoto } from './read-photo.ts';
export { writeBundle } from './write-bundle.ts';
