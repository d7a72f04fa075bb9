/** The card: its definition, the project's own card and strips, where a card lies in a photo. */
export * from './definition.ts';
export * from './find/index.ts';
export * from './own.ts';
export * from './place.ts';
export * from './types.ts';
