/** Light through a film over a ground and through a surface. Spectra are Float64Arrays on any one grid. */
export * from './film.ts';
export * from './kubelka-munk.ts';
export * from './surface.ts';
