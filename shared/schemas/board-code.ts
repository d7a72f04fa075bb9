import { z } from 'zod';

/**
 * What the 2D code of a board (QR, ISO/IEC 18004) says, format `sprayout-board/1`: enough to find the record again, and
 * short enough for a small code. Panels are rows: id, recipe in short, L*, a*, b* to a tenth; what no room was left for is
 * missing from the end of the row.
 */
const id = z.string().min(1).max(60);
const recipe = z.string().max(200);
const lab = z.tuple([
  z.number().min(-5).max(110),
  z.number().min(-160).max(160),
  z.number().min(-160).max(160),
]);

export const BOARD_CODE_FORMAT = 'sprayout-board/1';

export const boardCodeSchema = z.object({
  format: z.literal(BOARD_CODE_FORMAT),
  /** The first 12 hexadecimal digits of the SHA-256 of the job's name. */
  job: z.string().regex(/^[0-9a-f]{12}$/),
  white: z.string().max(20),
  panels: z
    .array(z.union([z.tuple([id, recipe, lab]), z.tuple([id, recipe]), z.tuple([id])]))
    .min(1)
    .max(200),
  /** Panels on the sheet that the code had no room for. */
  more: z.number().int().positive().max(2000).optional(),
});

export type BoardCodeFile = z.infer<typeof boardCodeSchema>;
