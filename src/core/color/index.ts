/** Colour: spectra, observers, XYZ and Lab, CIEDE2000, correlated colour temperature. */
export * from './difference.ts';
export * from './lab.ts';
export * from './light.ts';
export * from './local-frame.ts';
export * from './spectrum.ts';
export * from './white.ts';
