/** What a job knows of a panel: its tints. */
import type { ScenePanel } from '../../../samples/scene/panels.ts';

/** Panels of one paint share what three channels cannot tell; one without a recipe may be anything. */
export function tintsOf({ id, recipe }: Pick<ScenePanel, 'id' | 'recipe'>): string {
  if (!recipe) return `panel ${id}`;
  const names = recipe.parts.map(([dye]) => dye.name);
  return `candy ${names.sort().join(' ')}`;
}
