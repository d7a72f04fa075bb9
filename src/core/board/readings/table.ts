import type { Job } from '../../../../shared/schemas/job.ts';
import type { ReadingRow, ReadingsFile } from '../../../../shared/schemas/readings.ts';
import type { Comparison } from '../../compare/index.ts';
import { TARGET_ID } from '../../job/index.ts';

const rounded = (values: readonly number[]): [number, number, number] =>
  values.map((v) => Number(v.toFixed(3))) as [number, number, number];

/** The measured colours of a job as a table, the target last, with what each panel is. */
export function readingsOf(job: Job, { panels, white }: Comparison, date?: string): ReadingsFile {
  return {
    format: 'sprayout-readings/1',
    title: job.name,
    ...(date && { date }),
    white,
    readings: panels.map(({ id, lab, u95 }): ReadingRow => {
      const panel = job.panels.find((p) => p.id === id);
      // nothing is mixed for a bare ground, and nothing reduced where nothing is mixed
      const mix = panel?.coats === 0 ? undefined : panel?.mix;
      const name = id === TARGET_ID ? job.target?.name : panel?.name;
      return {
        id,
        ...(name && { name }),
        lab: rounded(lab),
        u95: rounded(u95),
        ...(panel?.ground !== undefined && { ground: panel.ground }),
        ...(mix && { parts: mix.parts }),
        ...(mix?.carrier !== undefined && { carrier: mix.carrier }),
        ...(mix && panel?.reducer_pct !== undefined && { reducer_pct: panel.reducer_pct }),
        ...(panel?.coats !== undefined && { coats: panel.coats }),
        ...(panel?.clear !== undefined && { clear: panel.clear }),
      };
    }),
  };
}

/** Half-widths of 95 % intervals to standard deviations of a normal distribution. */
export const STANDARD_DEVIATIONS = 1.96;

/** The two parts of a white's name: `D50/2` as illuminant D50 and observer 2. */
export function whiteParts(white: string): { readonly illuminant: string; readonly observer: string } {
  const [illuminant, observer] = white.split('/');
  return { illuminant, observer };
}
