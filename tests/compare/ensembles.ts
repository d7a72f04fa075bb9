import type { Lab } from '../../src/core/color/index.ts';
import type { LabEnsemble } from '../../src/core/correction/types.ts';
import { type Random, seededRandom } from '../../src/core/math/random.ts';

export interface EnsembleOptions {
  /** Standard deviation of each axis that every colour has for itself, and that all share. */
  readonly own?: number;
  readonly shared?: number;
  readonly count?: number;
  readonly seed?: number;
}

/** Normal draws around the given colours. */
export function ensembleOf(
  colours: Readonly<Record<string, Lab>>,
  options: EnsembleOptions = {},
): LabEnsemble {
  const { own = 0.3, shared = 0, count = 256, seed = 1 } = options;
  return normalDraws(colours, own, shared, count, seededRandom(seed));
}

export function normalDraws(
  colours: Readonly<Record<string, Lab>>,
  own: number,
  shared: number,
  count: number,
  random: Random,
): LabEnsemble {
  const ids = Object.keys(colours);
  const lab = Object.values(colours);
  const draws = new Float64Array(3 * ids.length * count);
  for (let k = 0; k < count; k++) {
    const common = [0, 1, 2].map(() => shared * random.normal());
    for (let i = 0; i < ids.length; i++)
      for (let c = 0; c < 3; c++)
        draws[3 * (k * ids.length + i) + c] = lab[i][c] + common[c] + own * random.normal();
  }
  return { white: 'D50/2', ids, lab, count, draws };
}
