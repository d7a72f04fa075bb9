/** A small invented job with colours as measured, for boards without photos. */
import type { Job } from '../../shared/schemas/job.ts';
import { type BoardRequest, boardDocument } from '../../src/core/board/index.ts';
import type { Lab } from '../../src/core/color/index.ts';
import { comparePanels } from '../../src/core/compare/index.ts';
import type { LabEnsemble } from '../../src/core/correction/types.ts';
import { parseJob } from '../../src/core/job/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';

const DRAWS = 64;

/** Colours with a doubt of .5 on every axis. */
export function ensembleOf(colours: readonly (readonly [string, Lab])[]): LabEnsemble {
  const random = seededRandom(3);
  const draws = Float64Array.from(
    { length: DRAWS * 3 * colours.length },
    (_, i) => colours[Math.floor(i / 3) % colours.length][1][i % 3] + 0.5 * random.normal(),
  );
  return {
    white: 'D50/2',
    ids: colours.map(([id]) => id),
    lab: colours.map(([, lab]) => lab),
    count: DRAWS,
    draws,
  };
}

export interface Named {
  readonly id: string;
  readonly name?: string;
  readonly notes?: string;
  readonly lab?: Lab;
}

const GARNET: Lab = [41.9, 37.6, 33.4];
export const LID: Lab = [38.9, 41.8, 39.5];

export function jobOf(panels: readonly Named[], more: Record<string, unknown> = {}): Job {
  return parseJob(
    {
      format: 'sprayout-job/1',
      name: 'Kettle lid',
      tints: [
        { id: 'garnet', name: 'Garnet candy' },
        { id: 'amber', name: 'Amber candy' },
      ],
      grounds: [{ id: 'gold', name: 'Pale gold' }],
      panels: panels.map(({ id, name, notes, lab = GARNET }) => ({
        id,
        ...(name !== undefined && { name }),
        ...(notes !== undefined && { notes }),
        ground: 'gold',
        mix: { parts: { garnet: 5, amber: 1 }, carrier: 5 },
        reducer_pct: 5,
        coats: 3,
        clear: true,
        measured: [{ lab: [...lab] }],
      })),
      target: { name: 'Enamel lid', measured: [{ lab: [...LID] }] },
      ...more,
    },
    'the test’s job',
  );
}

export function documentOf(job: Job, more: Partial<BoardRequest> = {}) {
  const colours = ensembleOf([
    ...job.panels.map(
      (p) => [p.id, p.measured[0] && 'lab' in p.measured[0] ? p.measured[0].lab : GARNET] as const,
    ),
    ...(job.target ? [['target', LID] as const] : []),
  ] as (readonly [string, Lab])[]);
  return boardDocument({ job, comparison: comparePanels(colours), ...more });
}
