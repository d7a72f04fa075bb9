/** Card patches as their fit takes them: what it needs of each again and again. */
import { multiply3, type Vec3 } from '../math/linear.ts';
import { dot, type FitPatch, type Layout, type PixelModel } from './fit-model.ts';
import { fieldTerms } from './light-field.ts';
import type { CorrectionPrior, SensitivityPrior } from './prior.ts';
import { encodeSrgb, modesAt, responseAt } from './response.ts';

/** What a fit needs of a patch again and again. */
export interface Prepared {
  readonly patch: FitPatch;
  readonly base: Vec3;
  /** modes × 3: how each mode changes the channels' readings of this patch. */
  readonly byMode: Float64Array;
  readonly curve: readonly Float64Array[];
  /** By channel. */
  readonly field: readonly Float64Array[];
}

export function prepare(
  patch: FitPatch,
  model: PixelModel,
  prior: CorrectionPrior,
  s: SensitivityPrior,
): Prepared {
  const byMode = new Float64Array(s.modes.length * 3);
  s.modes.forEach((m, k) => {
    for (let c = 0; c < 3; c++) byMode[3 * k + c] = dot(m, c, patch.reflectance);
  });
  return {
    patch,
    base: [0, 1, 2].map((c) => dot(s.mean, c, patch.reflectance)) as unknown as Vec3,
    byMode,
    curve: model.hasCurve ? patch.linear.map((l) => modesAt(prior.curve, encodeSrgb(l))) : [],
    field: [0, 1, 2].map((c) => fieldTerms(patch.at, c)),
  };
}

/** Linear sRGB light of a patch under the response of θ (not yet over paper). */
export function light(p: Prepared, model: PixelModel, theta: Float64Array): Vec3 {
  return multiply3(model.toLinearSrgb, litChannels(p, model, theta));
}

/** Light of a patch under the response of θ in the file's own primaries. */
function litChannels({ patch, curve }: Prepared, model: PixelModel, theta: Float64Array): Vec3 {
  if (!model.hasCurve) return patch.linear;
  const [r, g, b] = patch.linear;
  return [
    r * Math.exp(responseAt(curve[0], theta, 0)),
    g * Math.exp(responseAt(curve[1], theta, 0)),
    b * Math.exp(responseAt(curve[2], theta, 0)),
  ];
}

export interface Problem {
  readonly prepared: readonly Prepared[];
  readonly model: PixelModel;
  readonly prior: CorrectionPrior;
  readonly isCardMeasured: boolean;
  readonly layout: Layout;
  readonly scale: Vec3;
}
