import { z } from 'zod';

/** File schema of a card definition, `NAME.card.json`, format `sprayout-card/1`. Positions in mm on the card. */
const point = z.tuple([z.number(), z.number()]);
const quad = z.tuple([point, point, point, point]);
const lab = z.tuple([
  z.number().min(-5).max(110),
  z.number().min(-160).max(160),
  z.number().min(-160).max(160),
]);

const spectrum = z.object({
  start_nm: z.number().min(300).max(500),
  step_nm: z.number().positive().max(20),
  values: z.array(z.number().min(-0.05).max(2)).min(16),
});

const patch = z
  .object({
    id: z.string().min(1).max(40),
    role: z.enum(['neutral', 'colour']),
    rect_mm: z.tuple([z.number(), z.number(), z.number().positive(), z.number().positive()]),
    lab: lab.optional(),
    spectrum: spectrum.optional(),
    u: z.number().min(0).max(20),
  })
  .refine((p) => p.lab || p.spectrum, { error: 'a patch needs a lab or a spectrum' });

export const cardSchema = z.object({
  format: z.literal('sprayout-card/1'),
  name: z.string().min(1).max(200),
  size_mm: z.tuple([z.number().positive().max(2000), z.number().positive().max(2000)]),
  white: z.string(),
  source: z.enum(['nominal', 'measured', 'adopted']),
  markers: z.array(z.object({ family: z.string(), id: z.number().int().min(0), corners_mm: quad })).max(64),
  patches: z.array(patch).min(1).max(500),
});

export type CardDefinition = z.infer<typeof cardSchema>;
export type CardPatch = CardDefinition['patches'][number];
export type CardMarker = CardDefinition['markers'][number];
