import type { LabEnsemble } from '../correction/types.ts';
import { SprayoutError, type Warning } from '../errors.ts';
import { type Job, type JobPanel, type Measured, TARGET_ID } from '../job/index.ts';
import type { Mat3 } from '../math/linear.ts';
import { checkParts } from './check-recipe.ts';
import { ensembleReadings, statedReading } from './reading.ts';
import type { FilmData, FilmPanel, FilmReading, Recipe } from './types.ts';
import { middleOf, usuallyCleared } from './usual.ts';

export interface FilmDataOptions {
  /** Panels set aside by the painter. */
  readonly leaveOut?: readonly string[] | undefined;
  /** Measured colours (`measureJob`); needed for panels that are only places in photos. */
  readonly colours?: LabEnsemble | undefined;
}

type Stated = Extract<Measured, { lab: readonly [number, number, number] }>;

/**
 * The film model's view of a job: panels with a recipe and a colour, the target, and their errors. A panel that says
 * too little of how it was sprayed is left aside with a warning; nothing is changed in the job.
 * Throws `mix-invalid` for a recipe no one can spray, `usage` for an unknown id to leave out, and
 * `not-enough-panels` when not one sprayed panel is left.
 */
export function filmDataOf(job: Job, { leaveOut = [], colours }: FilmDataOptions = {}): FilmData {
  for (const id of leaveOut)
    if (!job.panels.some((p) => p.id === id))
      throw new SprayoutError(
        'usage',
        `There is no panel ${JSON.stringify(id)} to leave out.`,
        'Use the id of a panel of the job.',
      );
  const groups = new Map<string, Mat3>();
  const readings = readingsOf(job, colours, groups);
  const warnings: Warning[] = [];
  const panels: FilmPanel[] = [];
  const counted = job.panels.filter((p) => !leaveOut.includes(p.id));
  const usual: Unsaid = { clear: usuallyCleared(counted), carrier: usualCarrier(counted) };
  for (const panel of counted) {
    const reading = readings.get(panel.id);
    const recipe = recipeOfPanel(panel, job, usual);
    if (typeof recipe === 'string')
      warnings.push({
        code: 'panel-without-recipe',
        message: `${panel.id} is not used to learn the paint: ${recipe}.`,
      });
    else if (!reading)
      warnings.push({
        code: 'panel-unmeasured',
        message: `${panel.id} is not used: it has no face colour yet.`,
      });
    else panels.push({ id: panel.id, recipe, reading });
  }
  if (!panels.some((p) => p.recipe.coats > 0))
    throw new SprayoutError(
      'not-enough-panels',
      'No sprayed panel with ratio, coats, ground and colour is left to learn from.',
      'Enter one sprayed panel with its mix, coats and ground and a measured colour; two different blends and the bare grounds are a good start.',
    );
  const target = readings.get(TARGET_ID);
  return {
    white: job.white,
    tints: job.tints.map((t) => t.id),
    grounds: job.grounds.map((g) => g.id),
    panels,
    ...(target ? { target } : {}),
    groups,
    warnings: [...warnings, ...carrierWarning(panels, counted, usual.carrier), ...clearWarning(panels)],
  };
}

function readingsOf(
  job: Job,
  colours: LabEnsemble | undefined,
  groups: Map<string, Mat3>,
): Map<string, FilmReading> {
  const flop = new Set(job.photos.filter((p) => p.view === 'flop').map((p) => p.id));
  const things = [
    ...job.panels.map((p) => ({ id: p.id, measured: p.measured })),
    { id: TARGET_ID, measured: job.target?.measured ?? [] },
  ];
  const out = new Map<string, FilmReading>();
  const seenTogether = new Map<string, string[]>();
  for (const { id, measured } of things) {
    const face = measured.filter((m) => m.photo === undefined || !flop.has(m.photo));
    const places = face.flatMap((m) => (m.corners_px && m.photo !== undefined ? [m.photo] : []));
    if (places.length > 0 && colours?.ids.includes(id)) {
      const key = `photos ${[...new Set(places)].sort().join(' ')}`;
      seenTogether.set(key, [...(seenTogether.get(key) ?? []), id]);
      continue;
    }
    const stated = face.filter((m): m is Stated => 'lab' in m);
    if (stated.length > 0) out.set(id, statedReading(stated, groups));
  }
  if (colours)
    for (const [key, members] of seenTogether)
      for (const [id, reading] of ensembleReadings(colours, members, key, groups)) out.set(id, reading);
  return out;
}

/** What is taken of a panel that does not say it. */
interface Unsaid {
  readonly clear: boolean;
  /** undefined where no panel says any. */
  readonly carrier: number | undefined;
}

/** The letdown of the sprayed panels that say one: the middle of them. */
function usualCarrier(panels: readonly JobPanel[]): number | undefined {
  return middleOf(
    panels.flatMap(({ coats, mix }) => (coats && mix?.carrier !== undefined ? [mix.carrier] : [])),
  );
}

function carrierWarning(
  panels: readonly FilmPanel[],
  counted: readonly JobPanel[],
  carrier: number | undefined,
): Warning[] {
  const unsaid = counted
    .filter((p) => p.mix?.carrier === undefined && panels.some((q) => q.id === p.id && q.recipe.coats > 0))
    .map((p) => p.id);
  if (carrier === undefined || unsaid.length === 0) return [];
  const [name, are] = unsaid.length === 1 ? ['names', 'is'] : ['name', 'are'];
  return [
    {
      code: 'carrier-not-entered',
      message: `${unsaid.join(', ')} ${name} no carrier and ${are} taken as let down ${carrier}:1, as is usual in this job. Enter the carrier, 0 where there is none.`,
    },
  ];
}

/** The recipe of a panel, or why there is none. */
function recipeOfPanel(panel: JobPanel, job: Job, usual: Unsaid): Recipe | string {
  const ground = panel.ground ?? (job.grounds.length === 1 ? job.grounds[0].id : undefined);
  if (ground === undefined) return 'its ground is not entered';
  if (!job.grounds.some((g) => g.id === ground)) return `its ground ${JSON.stringify(ground)} is not listed`;
  if (panel.coats === undefined) return 'its coats are not entered';
  const clear = panel.clear ?? usual.clear;
  if (panel.coats === 0) return { ground, parts: {}, carrier: 0, reducer_pct: 0, coats: 0, clear };
  if (!panel.mix) return 'its mix is not entered';
  checkParts(
    panel.mix,
    `Panel ${JSON.stringify(panel.id)}`,
    job.tints.map((t) => t.id),
  );
  return {
    ground,
    parts: panel.mix.parts,
    carrier: panel.mix.carrier ?? usual.carrier ?? 0,
    reducer_pct: panel.reducer_pct ?? 0,
    coats: panel.coats,
    clear,
  };
}

function clearWarning(panels: readonly FilmPanel[]): Warning[] {
  const bare = panels.filter((p) => !p.recipe.clear).map((p) => p.id);
  if (bare.length === 0 || bare.length === panels.length) return [];
  return [
    {
      code: 'cleared-and-uncleared',
      message: `${bare.join(', ')} ${bare.length === 1 ? 'is' : 'are'} not cleared while others are: clear darkens and strengthens a candy. The model allows for it, roughly; clear them to be sure.`,
    },
  ];
}
