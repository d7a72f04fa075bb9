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

/** Characters that a card's name may have. */
export const LONGEST_NAME = 200;

const byte = z.number().int().min(0).max(255);
const area = z.number().min(0).max(1);

const patch = z
  .object({
    id: z.string().min(1).max(40),
    role: z.enum(['neutral', 'colour']),
    rect_mm: z.tuple([z.number(), z.number(), z.number().positive(), z.number().positive()]),
    lab: lab.optional(),
    spectrum: spectrum.optional(),
    u: z.number().min(0).max(20),
    /** The patch printed with the same inks that this one repeats, to show how light falls; on a strip, one of the card's. */
    replicate_of: z.string().min(1).max(40).optional(),
    /** What the printer is asked for: sRGB 0–255, and the dot areas behind the nominal spectrum. */
    print: z
      .object({ srgb: z.tuple([byte, byte, byte]), cmyk: z.tuple([area, area, area, area]).optional() })
      .optional(),
  })
  .refine((p) => p.lab || p.spectrum, { error: 'needs a lab or a spectrum' });

/** What the card carries for people: its name, a mm rule, lines to write on. Readers of photos ignore it. */
const furniture = z.object({
  title: z.object({ at_mm: point, height_mm: z.number().positive() }).optional(),
  rule: z.object({ from_mm: point, length_mm: z.number().positive() }).optional(),
  lines: z
    .array(z.object({ label: z.string().max(40), from_mm: point, length_mm: z.number().positive() }))
    .max(20),
});

export const cardSchema = z.object({
  format: z.literal('sprayout-card/1'),
  name: z.string().min(1).max(LONGEST_NAME),
  size_mm: z.tuple([z.number().positive().max(2000), z.number().positive().max(2000)]),
  white: z.string(),
  source: z.enum(['nominal', 'measured', 'adopted']),
  markers: z.array(z.object({ family: z.string(), id: z.number().int().min(0), corners_mm: quad })).max(64),
  patches: z.array(patch).min(1).max(500),
  furniture: furniture.optional(),
});

export type CardDefinition = z.infer<typeof cardSchema>;
export type CardPatch = CardDefinition['patches'][number];
export type CardFurniture = NonNullable<CardDefinition['furniture']>;
export type CardMarker = CardDefinition['markers'][number];
