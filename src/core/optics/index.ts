/** Light through a film over a ground, through a surface and on half tones. Spectra are Float64Arrays on any one grid. */
export * from './film.ts';
export * from './halftone.ts';
export * from './kubelka-munk.ts';
export * from './surface.ts';
