import { z } from 'zod';
import { MOST_PARTS } from './limits.ts';

/** File schema of a job, format `sprayout-job/1`. */
const id = z.string().min(1).max(60);
const name = z.string().max(300);
const lab = z.tuple([
  z.number().min(-5).max(110),
  z.number().min(-160).max(160),
  z.number().min(-160).max(160),
]);
const point = z.tuple([z.number(), z.number()]);
const quad = z.tuple([point, point, point, point]);
const notes = z.string().max(5000);

const labReading = z.object({
  lab,
  u: z.number().min(0).max(20).optional(),
  photo: id.optional(),
  corners_px: quad.optional(),
});
const photoReading = z.object({ photo: id, corners_px: quad });

export const measuredSchema = z.union([labReading, photoReading]);

export const mixSchema = z.object({
  /** Parts of each tint, by tint id. */
  parts: z.record(id, z.number().min(0).max(MOST_PARTS)),
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
  /** Kept and compared, but not used to learn the paint from. */
  set_aside: z.boolean().optional(),
  notes: notes.optional(),
  measured: z.array(measuredSchema).max(200).default([]),
});

export const jobSchema = z.object({
  format: z.literal('sprayout-job/1'),
  name: name.default(''),
  white: z.string().default('D50/2'),
  tints: z
    .array(
      z.object({ id, name: name.optional(), density_g_per_ml: z.number().positive().max(10).optional() }),
    )
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
        name: name.optional(),
        /** Corners of the card's `size_mm` rectangle, placed by hand: for a chart without markers, or markers unseen. */
        card_corners_px: quad.optional(),
        /** Ids of the card's patches not to use in this photo. */
        leave_out: z.array(z.string().min(1).max(40)).max(500).optional(),
        notes: notes.optional(),
      }),
    )
    .max(500)
    .default([]),
  panels: z.array(panel).max(2000).default([]),
  target: z
    .object({ name: name.optional(), measured: z.array(measuredSchema).max(200).default([]) })
    .optional(),
  pot: z.object({ mix: mixSchema, volume_ml: z.number().positive().max(1e6) }).optional(),
  /** What is to be sprayed next, and which steps of its bench sheet are ticked off. */
  next: z
    .object({
      mix: mixSchema,
      ground: id,
      coats: z.number().int().min(1).max(100),
      reducer_pct: z.number().min(0).max(100).optional(),
      clear: z.boolean().optional(),
      volume_ml: z.number().positive().max(1e6).optional(),
      done: z.array(z.string().min(1).max(40)).max(200).default([]),
    })
    .optional(),
  /** What the cup or pot can hold. */
  cup_ml: z.number().positive().max(1e6).optional(),
  notes: notes.optional(),
  /** Who sprayed the panels, as boards say it. */
  maker: name.optional(),
  /** The user's own tolerances in ΔE2000; see compare's defaults. */
  tolerances: z.object({ seen: z.number().positive(), accepted: z.number().positive() }).optional(),
});

export type Job = z.infer<typeof jobSchema>;
export type JobPanel = Job['panels'][number];
export type Measured = z.infer<typeof measuredSchema>;
export type Mix = z.infer<typeof mixSchema>;
export type JobPhoto = Job['photos'][number];
