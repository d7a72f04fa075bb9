import { z } from 'zod';

/** Schema of `bundle.json`, the list of contents in a job bundle, format `sprayout-bundle/1`. */
export const BUNDLE_FORMAT = 'sprayout-bundle/1';

export const bundleSchema = z.object({
  format: z.literal(BUNDLE_FORMAT),
  made_by: z.object({ program: z.string().max(100), version: z.string().max(100) }),
  /** What the job's file was called where the bundle was made. */
  job_file: z.string().min(1).max(300),
  /** Path of the job document in the bundle. */
  job: z.string().min(1).max(300),
  /** Every file in the bundle but `bundle.json`, the job document too. */
  files: z
    .array(
      z.object({
        path: z.string().min(1).max(300),
        bytes: z.number().int().min(0),
        /** FIPS 180-4, lower-case hexadecimal. */
        sha256: z.string().regex(/^[0-9a-f]{64}$/, 'must be 64 hexadecimal digits'),
      }),
    )
    .max(2000),
});

export type BundleList = z.infer<typeof bundleSchema>;
export type BundleListFile = BundleList['files'][number];
