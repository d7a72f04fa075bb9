import manifest from '../../package.json' with { type: 'json' };

/** The package's version. */
export const VERSION: string = manifest.version;
