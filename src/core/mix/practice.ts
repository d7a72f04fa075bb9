import { z } from 'zod';
import { SprayoutError } from '../errors.ts';
import { schemaIssue } from '../schema-issue.ts';

/** Every figure here is common practice with no source: go by the product's own sheet where it says otherwise. */
export const PRACTICE_SOURCE = 'common practice, no source';

/** Limits and habits of the trade; a painter's own file may replace any of them. */
export const practiceSchema = z.strictObject({
  /** Reducer, % of the mixed paint: usual, where most stop, where only small tips still lay it down. */
  reducer_usual_pct: z.number().min(0).max(100).default(5),
  reducer_cutoff_pct: z.number().min(0).max(100).default(10),
  reducer_small_tip_pct: z.number().min(0).max(100).default(20),
  /** Parts of carrier to one of mix for a solid candy. */
  candy_carrier_parts: z.number().min(0).max(1000).default(6),
  /** Effect coat: carrier as a share of the whole, and the most coats of it. */
  effect_carrier_low_pct: z.number().min(0).max(100).default(20),
  effect_carrier_high_pct: z.number().min(0).max(100).default(25),
  effect_coats_most: z.number().int().min(1).max(100).default(3),
  strainer_um: z.number().positive().max(1000).default(125),
  rest_low_min: z.number().min(0).max(1000).default(10),
  rest_high_min: z.number().min(0).max(1000).default(15),
  gun_psi: z.number().positive().max(200).default(16),
  overlap_pct: z.number().min(0).max(99).default(75),
  /** Mixed paint that one coat takes, overspray included, ml a square metre. */
  coat_ml_per_m2: z.number().positive().max(2000).default(120),
});

export type Practice = z.infer<typeof practiceSchema>;

export const PRACTICE: Practice = practiceSchema.parse({});

/** A painter's own figures over the usual ones. Throws `mix-invalid` that names the field. */
export function parsePractice(json: unknown, where: string): Practice {
  const parsed = practiceSchema.safeParse(json);
  if (parsed.success) return parsed.data;
  const { at, what } = schemaIssue(parsed.error.issues);
  throw new SprayoutError(
    'mix-invalid',
    `${where}: ${at} ${what}.`,
    `Known figures: ${Object.keys(practiceSchema.shape).join(', ')}.`,
  );
}
