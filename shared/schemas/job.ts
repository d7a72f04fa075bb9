import { z } from 'zod';

/** File schema of a job, format `sprayout-job/1`. */
const id = z.string().min(1).max(60);
const name = z.string().max(300);
const lab = z.tuple([
  z.number().min(-5).max(110),
  z.number().min(-160).max(160),
  z.number().min(-160).max(160),
]);
const point = z.tuple([z.number(), z.number()]);

const labReading = z.object({
  lab,
  u: z.number().min(0).max(20).optional(),
  photo: id.optional(),
  corners_px: z.tuple([point, point, point, point]).optional(),
});
const photoReading = z.object({ photo: id, corners_px: z.tuple([point, point, point, point]) });

export const measuredSchema = z.union([labReading, photoReading]);

export const mixSchema = z.object({
  /** Parts of each tint, by tint id. */
  parts: z.record(id, z.number().min(0).max(1e6)),
  /** Parts of carrier to one part of the tint mix. */
  carrier: z.number().min(0).max(1000).optional(),
});

const panel = z.object({
  id,
  name: name.optional(),
  ground: id.optional(),
  mix: mixSchema.optional(),
  reducer_pct: z.number().min(0).max(100).optional(),
  coats: z.number().int().min(0).max(100).optional(),
  clear: z.boolean().optional(),
  measured: z.array(measuredSchema).max(200).default([]),
});

export const jobSchema = z.object({
  format: z.literal('sprayout-job/1'),
  name: name.default(''),
  white: z.string().default('D50/2'),
  tints: z
    .array(z.object({ id, name: name.optional() }))
    .max(50)
    .default([]),
  grounds: z
    .array(z.object({ id, name: name.optional() }))
    .max(50)
    .default([]),
  photos: z
    .array(
      z.object({
        id,
        file: z.string().min(1).max(1000),
        light: z.enum(['sun', 'shade', 'shop', 'lamp', 'other']).default('other'),
        view: z.enum(['face', 'flop']).default('face'),
        card: z.string().max(1000).optional(),
      }),
    )
    .max(500)
    .default([]),
  panels: z.array(panel).max(2000).default([]),
  target: z
    .object({ name: name.optional(), measured: z.array(measuredSchema).max(200).default([]) })
    .optional(),
  pot: z.object({ mix: mixSchema, volume_ml: z.number().positive().max(1e6) }).optional(),
  /** The user's own tolerances in ΔE2000; see compare's defaults. */
  tolerances: z.object({ seen: z.number().positive(), accepted: z.number().positive() }).optional(),
});

export type Job = z.infer<typeof jobSchema>;
export type JobPanel = Job['panels'][number];
export type Measured = z.infer<typeof measuredSchema>;
export type Mix = z.infer<typeof mixSchema>;
