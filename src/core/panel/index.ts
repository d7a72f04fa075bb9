/** Panels: finding them beside the card, reading their middles, saying what to mind. */
export * from './check.ts';
export * from './evenness.ts';
export { findPanels } from './find/index.ts';
export { overlapWarnings } from './overlaps.ts';
export * from './sample-panel.ts';
export * from './warnings.ts';
