import { z } from 'zod';

/** Measured colours handed on as JSON, format `sprayout-readings/1`. */
const lab = z.tuple([z.number(), z.number(), z.number()]);

export const readingsSchema = z.object({
  format: z.literal('sprayout-readings/1'),
  title: z.string(),
  date: z.string().optional(),
  /** Illuminant and observer of every colour, such as `D50/2`. */
  white: z.string(),
  readings: z.array(
    z.object({
      id: z.string(),
      name: z.string().optional(),
      lab,
      /** Half-widths of the 95 % intervals of L*, a*, b*. */
      u95: lab,
      ground: z.string().optional(),
      parts: z.record(z.string(), z.number()).optional(),
      /** Parts of carrier to one of the mix. */
      carrier: z.number().optional(),
      reducer_pct: z.number().optional(),
      coats: z.number().optional(),
      clear: z.boolean().optional(),
    }),
  ),
});

export type ReadingsFile = z.infer<typeof readingsSchema>;
export type ReadingRow = ReadingsFile['readings'][number];
