/** Card patches as their fit takes them: what it needs of each again and again. */
import { multiply3, type Vec3 } from '../math/linear.ts';
import { dot, type FitPatch, type Layout, type PixelModel } from './fit-model.ts';
import { expectedField, fieldTerms } from './light-field.ts';
import type { CorrectionPrior, SensitivityPrior } from './prior.ts';
import { encodeSrgb, nodePlace, valueAtPlace } from './response.ts';

/** What a fit needs of a patch again and again. */
export interface Prepared {
  readonly patch: FitPatch;
  /** Light where it lies, as expected before the photo is seen: its spectra count by so much. */
  readonly light: number;
  readonly base: Vec3;
  /** modes × 3: how each mode changes the channels' readings of this patch. */
  readonly byMode: Float64Array;
  /** Where the channels stand on the response: encoded values, in its nodes. */
  readonly places: Vec3;
  /** By channel. */
  readonly field: readonly Float64Array[];
}

export function prepare(patch: FitPatch, prior: CorrectionPrior, s: SensitivityPrior): Prepared {
  const light = Math.exp(expectedField(patch.at));
  const lit = patch.reflectance.map((v) => light * v);
  const byMode = new Float64Array(s.modes.length * 3);
  s.modes.forEach((m, k) => {
    for (let c = 0; c < 3; c++) byMode[3 * k + c] = dot(m, c, lit);
  });
  return {
    patch,
    light,
    base: [0, 1, 2].map((c) => dot(s.mean, c, lit)) as unknown as Vec3,
    byMode,
    places: patch.linear.map((l) => nodePlace(prior.curve.mean, encodeSrgb(l))) as unknown as Vec3,
    field: [0, 1, 2].map((c) => fieldTerms(patch.at, c)),
  };
}

/** Linear sRGB light of a patch under the mean response (not yet over paper). */
export function plainLight({ patch, places }: Prepared, model: PixelModel, prior: CorrectionPrior): Vec3 {
  const { mean } = prior.curve;
  const lit = model.hasCurve
    ? patch.linear.map((l, c) => l * Math.exp(valueAtPlace(mean, places[c])))
    : patch.linear;
  return multiply3(model.toLinearSrgb, lit as unknown as Vec3);
}

export interface Problem {
  readonly prepared: readonly Prepared[];
  readonly model: PixelModel;
  readonly prior: CorrectionPrior;
  readonly isCardMeasured: boolean;
  readonly layout: Layout;
  readonly scale: Vec3;
}
