import type { Measured } from '../../../shared/schemas/job.ts';
import type { Lab } from '../color/index.ts';
import { SHARED_BY_SOURCE, sourceOf, statedUncertainty } from '../correction/stated.ts';
import type { LabEnsemble } from '../correction/types.ts';
import type { Mat3 } from '../math/linear.ts';
import { atLeast, differenceFrame } from './frame.ts';
import type { FilmReading } from './types.ts';

/** No reading is surer than this, ΔE2000. */
const LEAST_U = 0.1;

/** Variance in each direction of the local ΔE2000 frame. */
const varianceOf = (u: number): number => Math.max(u, LEAST_U) ** 2 / 3;

const even = (v: number): Mat3 => [v, 0, 0, 0, v, 0, 0, 0, v];

/**
 * Error of a reading of standard uncertainty u (root-mean-square ΔE2000 over all directions), as covariances in the
 * local ΔE2000 frame: its own, and the one it shares with the readings of its photo.
 */
export function readingError(u: number, fromPhoto: boolean): { own: Mat3; shared: Mat3 } {
  const variance = varianceOf(u);
  const shared = fromPhoto ? SHARED_BY_SOURCE : 0;
  return { own: even((1 - shared) * variance), shared: even(shared * variance) };
}

type Stated = Extract<Measured, { lab: Lab }>;

interface OneSource {
  readonly group: string | undefined;
  readonly lab: Lab;
  readonly own: number;
  readonly shared: number;
}

/** Weighted mean of Lab values that lie close together. */
function meanLab(labs: readonly Lab[], weights: readonly number[]): Lab {
  const total = weights.reduce((a, b) => a + b, 0);
  const sum = [0, 1, 2].map((c) => labs.reduce((s, lab, i) => s + (weights[i] * lab[c]) / total, 0));
  return [sum[0], sum[1], sum[2]];
}

/** All Lab values stated for one thing as one reading: readings of one photo first, then photos and instruments. */
export function statedReading(measured: readonly Stated[], groups: Map<string, Mat3>): FilmReading {
  const sources = new Map<string, Stated[]>();
  measured.forEach((m, i) => {
    const photo = sourceOf(m);
    const key = photo === undefined ? `reading ${i}` : `photo ${photo}`;
    sources.set(key, [...(sources.get(key) ?? []), m]);
  });
  const each = [...sources.values()].map(oneSource);
  const weights = each.map((s) => 1 / (s.own + s.shared));
  const lab = meanLab(
    each.map((s) => s.lab),
    weights,
  );
  if (each.length === 1) {
    const { group, own, shared } = each[0];
    if (group === undefined) return { lab, own: even(own) };
    // the least sure reading speaks for the photo
    groups.set(group, even(Math.max(shared, groups.get(group)?.[0] ?? 0)));
    return { lab, own: even(own), group };
  }
  return { lab, own: even(1 / weights.reduce((a, b) => a + b, 0)) };
}

function oneSource(measured: readonly Stated[]): OneSource {
  const photo = sourceOf(measured[0]);
  const variances = measured.map((m) => varianceOf(statedUncertainty(m)));
  const weights = variances.map((v) => 1 / v);
  const lab = meanLab(
    measured.map((m) => m.lab),
    weights,
  );
  const least = 1 / weights.reduce((a, b) => a + b, 0);
  if (photo === undefined) return { group: undefined, lab, own: least, shared: 0 };
  const typical = variances.reduce((a, b) => a + b, 0) / variances.length;
  return {
    group: `photo ${photo}`,
    lab,
    own: (1 - SHARED_BY_SOURCE) * least,
    shared: SHARED_BY_SOURCE * typical,
  };
}

/**
 * Readings of the members of an ensemble that were seen in the same photos: what their draws have in common becomes
 * the group's shared error, the rest each one's own.
 */
export function ensembleReadings(
  colours: LabEnsemble,
  members: readonly string[],
  group: string,
  groups: Map<string, Mat3>,
): Map<string, FilmReading> {
  const at = members.map((id) => colours.ids.indexOf(id));
  const deviations = at.map((i) => whitenedDeviations(colours, i));
  const all = deviations.map(covarianceOf);
  const out = new Map<string, FilmReading>();
  if (members.length === 1) {
    out.set(members[0], { lab: colours.lab[at[0]], own: atLeast(all[0], LEAST_U ** 2 / 3) });
    return out;
  }
  const m = members.length;
  const common = Float64Array.from(deviations[0], (_, k) => deviations.reduce((s, d) => s + d[k], 0) / m);
  const ofMean = covarianceOf(common);
  const shared = atLeast(
    ofMean.map((v, i) => (m * v - all.reduce((s, c) => s + c[i], 0) / m) / (m - 1)) as unknown as Mat3,
    0,
  );
  groups.set(group, shared);
  members.forEach((id, k) => {
    const own = atLeast(all[k].map((v, i) => v - shared[i]) as unknown as Mat3, LEAST_U ** 2 / 3);
    out.set(id, { lab: colours.lab[at[k]], own, group });
  });
  return out;
}

/** Draws of one member less its centre, in its local ΔE2000 frame: count × 3. */
function whitenedDeviations({ draws, count, ids, lab }: LabEnsemble, i: number): Float64Array {
  const w = differenceFrame(lab[i]);
  const out = new Float64Array(3 * count);
  for (let k = 0; k < count; k++) {
    const from = 3 * (k * ids.length + i);
    const d = [0, 1, 2].map((c) => draws[from + c] - lab[i][c]);
    for (let c = 0; c < 3; c++) out[3 * k + c] = w[3 * c] * d[0] + w[3 * c + 1] * d[1] + w[3 * c + 2] * d[2];
  }
  return out;
}

/** Covariance about zero of rows of three. */
function covarianceOf(rows: Float64Array): Mat3 {
  const out = new Array<number>(9).fill(0);
  const count = rows.length / 3;
  for (let k = 0; k < count; k++)
    for (let i = 0; i < 3; i++)
      for (let j = 0; j < 3; j++) out[3 * i + j] += (rows[3 * k + i] * rows[3 * k + j]) / count;
  return out as unknown as Mat3;
}
