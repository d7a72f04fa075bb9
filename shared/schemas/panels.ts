import { z } from 'zod';

/** File schema of the panels outlined in one photo, format `sprayout-panels/1`. Pixels after EXIF orientation. */
const point = z.tuple([z.number(), z.number()]);

export const panelsSchema = z.object({
  format: z.literal('sprayout-panels/1'),
  panels: z
    .array(z.object({ id: z.string().min(1).max(60), corners_px: z.tuple([point, point, point, point]) }))
    .max(500),
});

export type PanelsFile = z.infer<typeof panelsSchema>;
