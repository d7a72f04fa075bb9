/** The panels as a fit sees them: recipes compiled, errors whitened, and sorted by what errors they share. */
import { cholesky, compose3, invert3, type Mat3 } from '../math/linear.ts';
import { differenceFrame, symmetricRoot } from './frame.ts';
import { type CompiledRecipe, compileRecipe, type FilmModel } from './model.ts';
import type { FilmData, FilmPanel } from './types.ts';

/** A panel with its errors whitened: residual = toUnit (predicted − lab) + sharedUnit·o, o standard normal. */
export interface Observation {
  readonly panel: FilmPanel;
  readonly recipe: CompiledRecipe;
  readonly toUnit: Mat3;
  /** undefined when the panel shares no error with others. */
  readonly sharedUnit: Mat3 | undefined;
}

/** Panels that share one error. `kept`: its error stays among the unknowns, because the target shares it. */
export interface ObservationGroup {
  readonly kept: boolean;
  readonly observations: readonly Observation[];
}

/** Inverse of the lower Cholesky factor of a covariance: turns an error into one of unit covariance. */
function whitening(covariance: Mat3): Mat3 {
  const l = cholesky(Float64Array.from(covariance), 3);
  return invert3(Array.from(l) as unknown as Mat3);
}

export function observe(m: FilmModel, data: FilmData): ObservationGroup[] {
  const byGroup = new Map<string, Observation[]>();
  data.panels.forEach((panel, i) => {
    const { reading } = panel;
    const d = m.priors.misfit ** 2 / 3;
    const c = reading.own;
    const unit = whitening([c[0] + d, c[1], c[2], c[3], c[4] + d, c[5], c[6], c[7], c[8] + d]);
    const shared = reading.group === undefined ? undefined : data.groups.get(reading.group);
    const key = shared ? `group ${reading.group}` : `single ${i}`;
    const members = byGroup.get(key) ?? [];
    members.push({
      panel,
      recipe: compileRecipe(m, panel.recipe),
      toUnit: compose3(unit, differenceFrame(reading.lab)),
      sharedUnit: shared && compose3(unit, symmetricRoot(shared)),
    });
    byGroup.set(key, members);
  });
  const target = data.target?.group === undefined ? '' : `group ${data.target.group}`;
  return [...byGroup].map(([key, observations]) => ({ kept: key === target, observations }));
}

/** The groups without one panel. */
export function without(groups: readonly ObservationGroup[], left: Observation): ObservationGroup[] {
  return groups
    .map((g) => ({ ...g, observations: g.observations.filter((o) => o !== left) }))
    .filter((g) => g.observations.length > 0);
}
