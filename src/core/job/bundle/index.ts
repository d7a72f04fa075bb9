/** Job bundles: a job, its photos and card files in one zip file. Apart from `core/job`, so that only who needs it loads it. */
export type { BundleList } from '../../../../shared/schemas/bundle.ts';
export { BUNDLE_LIMITS, type BundleLimits } from './limits.ts';
export { type PackedBundle, type PackOptions, packBundle } from './pack.ts';
export { type UnpackedBundle, type UnpackOptions, unpackBundle } from './unpack.ts';
