/** The job document: reading it, and what of it a question needs. */
export { parseJson } from './json-text.ts';
export { needTarget, photosWithPlaces } from './needs.ts';
export { parseJob, TARGET_ID } from './parse-job.ts';
export { parsePanels } from './parse-panels.ts';
export type * from './types.ts';
