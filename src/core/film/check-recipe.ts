/** Whether a recipe can be sprayed with what a job has: one check for files, calls and the library. */
import { MOST_PARTS } from '../../../shared/schemas/limits.ts';
import { SprayoutError } from '../errors.ts';
import type { Mix } from '../job/index.ts';
import type { Recipe } from './types.ts';

/** What there is to spray with and on: ids. */
export interface Shelf {
  readonly tints: readonly string[];
  readonly grounds: readonly string[];
}

const MOST_COATS = 100;
const MOST_CARRIER = 1000;

/** Parts of a mix that is no mix: throws `mix-invalid`. */
export function checkParts(mix: Mix, where: string, tints: readonly string[]): void {
  const fail = (what: string, hint: string): never => {
    throw new SprayoutError('mix-invalid', `${where} ${what}.`, hint);
  };
  for (const [tint, parts] of Object.entries(mix.parts)) {
    if (!tints.includes(tint))
      fail(
        `names tint ${JSON.stringify(tint)}, which the job does not list`,
        `Tints of this job: ${tints.join(', ') || 'none'}.`,
      );
    if (!(parts >= 0 && parts <= MOST_PARTS))
      fail(`has ${parts} parts of ${tint}`, `Parts are 0 or more, and at most ${MOST_PARTS}.`);
  }
  if (!(Object.values(mix.parts).reduce((a, b) => a + b, 0) > 0))
    fail('has no parts', 'Give at least one tint more than 0 parts.');
  if (mix.carrier !== undefined && !(mix.carrier >= 0 && mix.carrier <= MOST_CARRIER))
    fail(
      `has ${mix.carrier} parts of carrier`,
      `Carrier is 0 to ${MOST_CARRIER} parts to one part of the mix.`,
    );
}

/** Throws `mix-invalid` for a mix that is none, and `usage` for coats, a ground or reducer that there can't be. */
export function checkRecipe(recipe: Recipe, where: string, { tints, grounds }: Shelf): void {
  const { ground, parts, carrier, reducer_pct, coats } = recipe;
  const fail = (what: string, hint: string): never => {
    throw new SprayoutError('usage', `${where} ${what}.`, hint);
  };
  if (!grounds.includes(ground))
    fail(
      `is over ground ${JSON.stringify(ground)}, which the job does not list`,
      `Grounds of this job: ${grounds.join(', ') || 'none'}.`,
    );
  if (!(Number.isInteger(coats) && coats >= 0 && coats <= MOST_COATS))
    fail(`has ${coats} coats`, `Coats are a whole number from 0, the bare ground, to ${MOST_COATS}.`);
  if (!(reducer_pct >= 0 && reducer_pct <= 100))
    fail(`has ${reducer_pct} % reducer`, 'Reducer is 0 to 100 % of the mixed paint.');
  // a bare ground has no mix, whatever is written there
  if (coats > 0) checkParts({ parts, carrier }, where, tints);
  else if (!(carrier >= 0)) fail(`has ${carrier} parts of carrier`, 'Carrier is 0 for a bare ground.');
}
