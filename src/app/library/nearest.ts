/** Nearest colour over all jobs: a compact index of every measured panel, searched by ΔE2000. */
import { ciede2000 } from '../../core/color/ciede2000.ts';
import type { Lab } from '../../core/color/index.ts';
import { type ColoursRow, database } from './database.ts';

export interface PanelIndex {
  /** Keys of the jobs, and for each panel the index of its job. */
  readonly jobs: readonly string[];
  readonly jobOf: Uint32Array;
  readonly ids: readonly string[];
  /** L*, a*, b* of each panel in turn. */
  readonly lab: Float32Array;
}

export interface NearPanel {
  readonly job: string;
  readonly panel: string;
  readonly lab: Lab;
  readonly de00: number;
}

export function panelIndex(rows: readonly ColoursRow[]): PanelIndex {
  const count = rows.reduce((sum, r) => sum + r.ids.length, 0);
  const lab = new Float32Array(3 * count);
  const jobOf = new Uint32Array(count);
  const ids: string[] = [];
  for (const [i, row] of rows.entries()) {
    lab.set(row.lab, 3 * ids.length);
    jobOf.fill(i, ids.length, ids.length + row.ids.length);
    for (const id of row.ids) ids.push(id);
  }
  return { jobs: rows.map((r) => r.job), jobOf, ids, lab };
}

/**
 * ΔE2000 is at least this share of the Lab distance for pairs no farther apart than some 30: what lies farther in Lab
 * than the worst kept ΔE2000 over it cannot be nearer. Chroma weighs least: 1/(1 + .045 C) with C up to some 130.
 */
const LEAST_SHARE = 0.12;

/** The panels nearest to a colour by ΔE2000, nearest first. */
export function nearestIn(index: PanelIndex, wanted: Lab, limit: number): NearPanel[] {
  const { lab, ids, jobs, jobOf } = index;
  const [L, a, b] = wanted;
  const terms = new Float64Array(3);
  const best: { at: number; de00: number }[] = [];
  let farthest = Number.POSITIVE_INFINITY;
  for (let i = 0, at = 0; i < ids.length; i++, at += 3) {
    const dL = lab[at] - L;
    const da = lab[at + 1] - a;
    const db = lab[at + 2] - b;
    if (LEAST_SHARE * Math.sqrt(dL * dL + da * da + db * db) > farthest) continue;
    const de00 = ciede2000(lab[at], lab[at + 1], lab[at + 2], L, a, b, terms);
    if (best.length === limit && de00 >= farthest) continue;
    let place = best.length;
    while (place > 0 && best[place - 1].de00 > de00) place--;
    best.splice(place, 0, { at: i, de00 });
    if (best.length > limit) best.pop();
    if (best.length === limit) farthest = best[limit - 1].de00;
  }
  return best.map(({ at, de00 }) => ({
    job: jobs[jobOf[at]],
    panel: ids[at],
    lab: [lab[3 * at], lab[3 * at + 1], lab[3 * at + 2]],
    de00,
  }));
}

let loaded: Promise<ReadonlyMap<string, PanelIndex>> | undefined;

/** Remembers what a job's panels measured; called after each study. */
export async function storeColours(row: ColoursRow): Promise<void> {
  await database.colours.put(row);
  loaded = undefined;
}

/**
 * Searches every job of the library that is not deleted, and states its colours under `white`. The index is loaded once
 * and kept until a job's colours change.
 */
export async function nearestPanels(wanted: Lab, limit = 20, white = 'D50/2'): Promise<NearPanel[]> {
  loaded ??= loadIndexes();
  const index = (await loaded).get(white);
  return index ? nearestIn(index, wanted, limit) : [];
}

async function loadIndexes(): Promise<ReadonlyMap<string, PanelIndex>> {
  const deleted = new Set(await database.jobs.where('deleted_ms').above(0).primaryKeys());
  const byWhite = new Map<string, ColoursRow[]>();
  for (const row of await database.colours.toArray()) {
    if (deleted.has(row.job)) continue;
    const rows = byWhite.get(row.white) ?? [];
    rows.push(row);
    byWhite.set(row.white, rows);
  }
  return new Map([...byWhite].map(([white, rows]) => [white, panelIndex(rows)]));
}

/** Forgets the loaded index: another tab has stored something, or jobs came and went. */
export function forgetIndex(): void {
  loaded = undefined;
}
