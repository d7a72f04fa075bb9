/**
 * Patches that are not what the card is there: covered, stained, oversprayed. One of them bends the response or the light of
 * the whole photo, and two alike hide each other, so they are told by a fit that allows hardly any misfit: what it leaves
 * far away is left out, and comes back in where the readings are as likely with it and the others do not miss it by far.
 */
import type { Fit } from './fit-model.ts';
import type { PatchReading } from './types.ts';

/**
 * Standard deviations of a strict fit's residual from which on a patch is tried without. In 720 rendered scenes the
 * farthest sound one lies at 4.3; one that is covered at 6 to 160.
 */
const FAR = 5;
/** Share of the patches that may be left out so: with more of them it is the photo or the card file that is wrong. */
const MOST_OUTLYING = 0.2;
/**
 * ln of how much likelier the other readings must be than all together, a patch left out. With a reading that is anything at
 * all (even over encoded values) once in twenty patches it is 3. Sound patches lie at −4 to −20, in photographs of a chart
 * up to .5; most rendered covered ones at 13 to 250.
 */
const LIKELIER_WITHOUT = 3;
/**
 * ΔE2000 by which the others miss a patch that is none, however well a misprint explains it: sound ones are missed by 8 at
 * most, rendered or in photographs of a chart.
 */
const MISSED = 12;

interface Fitted {
  readonly patches: readonly PatchReading[];
  readonly fit: Fit;
  /** ln of how likely the readings are. */
  readonly evidence: number;
}

/** Fits patches; strictly, with the smallest misfit alone. */
export type FitOf<T> = (patches: readonly PatchReading[], how?: { readonly isStrict: boolean }) => T;

/**
 * The fit without the patches that do not belong, and these. `missedBy` says by how much, ΔE2000, the others miss one of a
 * fit's patches.
 */
export function withoutOutlying<T extends Fitted>(
  all: T,
  missedBy: (fitted: T, patch: PatchReading) => number,
  fitOf: FitOf<T>,
): { readonly fitted: T; readonly outlying: readonly PatchReading[] } {
  if (all.fit.farthest <= FAR) return { fitted: all, outlying: [] };
  const far = farPatches(all.patches, fitOf);
  let out = far;
  let fitted = fitOf(all.patches.filter((p) => !out.includes(p)));
  for (const patch of [...far].reverse()) {
    const without = out.filter((p) => p !== patch);
    const withIt = fitOf(all.patches.filter((p) => !without.includes(p)));
    if (fitted.evidence - withIt.evidence > LIKELIER_WITHOUT || missedBy(withIt, patch) > MISSED) continue;
    fitted = withIt;
    out = without;
  }
  return { fitted, outlying: out };
}

/** What strict fits leave far away, the farthest first; a fit without these may leave others. */
function farPatches<T extends Fitted>(
  patches: readonly PatchReading[],
  fitOf: FitOf<T>,
): readonly PatchReading[] {
  const far: PatchReading[] = [];
  const most = Math.floor(patches.length * MOST_OUTLYING);
  while (far.length < most) {
    const rest = patches.filter((p) => !far.includes(p));
    const { rows } = fitOf(rest, { isStrict: true }).fit;
    const apart = rest
      .map((patch, i) => ({ patch, distance: Math.hypot(...rows[i].residual) }))
      .sort((a, b) => b.distance - a.distance);
    const limit = Math.max(FAR, apart[0].distance / 2);
    const farther = apart.filter((a) => a.distance > limit).slice(0, most - far.length);
    if (farther.length === 0) break;
    far.push(...farther.map((a) => a.patch));
  }
  return far;
}
