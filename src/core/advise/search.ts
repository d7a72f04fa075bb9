import type { Lab } from '../color/index.ts';
import type { Tolerances } from '../compare/tolerances.ts';
import type { FilmFit, FilmPanel, PosteriorDraws, Recipe } from '../film/index.ts';
import type { Pot } from '../mix/index.ts';
import type { Habits } from './net.ts';
import type { AdviseSettings } from './settings.ts';
import type { Names } from './words.ts';

/** Everything one search for advice goes by. */
export interface Search {
  readonly fit: FilmFit;
  readonly draws: PosteriorDraws;
  readonly target: Lab;
  readonly habits: Habits;
  readonly settings: AdviseSettings;
  readonly names: Names;
  /** The sprayed panel that measured nearest to the target, and how far off it is. */
  readonly now: FilmPanel;
  readonly now_de00: number;
  /** Its recipe, with the pot's mix where there is a pot: where the painter starts from. */
  readonly from: Recipe;
  /** True when too few panels or blends are sprayed to know what others would look like. */
  readonly few: boolean;
  readonly pot: Pot | undefined;
  readonly cup_ml: number | undefined;
  readonly tolerances: Tolerances;
}
