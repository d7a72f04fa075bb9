import type { Lab } from '../color/index.ts';
import type { Warning } from '../errors.ts';
import type { PotMix } from '../mix/index.ts';
import type { Reach } from './reach.ts';

/** What to pour into `take_ml` of the pot for a suggestion: all amounts are for just that much of it. */
export interface PotStep {
  /** How much of the pot to start from: all of it, or as much as the cup then has room for. */
  readonly take_ml: number;
  /** ml by tint id and `carrier`, the smallest first. */
  readonly add_ml: Readonly<Record<string, number>>;
  /** Mixed paint: `take_ml` with what is added, without reducer. */
  readonly final_ml: number;
  /** What then reduces it, poured last. */
  readonly reducer_ml: number;
  /** All in all: `final_ml` and the reducer. */
  readonly with_reducer_ml: number;
  /** False when the cup is too small for the whole pot with all of this. */
  readonly fits: boolean;
}

export interface Suggestion {
  /**
   * `closer`: the next step towards the target; `keep`: nothing is surely closer than the same again; `learn`: sprayed for what it
   * tells. With the nearest panel's recipe ruled out by the settings, `closer` is the nearest that is left.
   */
  readonly purpose: 'closer' | 'keep' | 'learn';
  readonly mix: PotMix;
  readonly coats: number;
  readonly ground: string;
  readonly reducer_pct: number;
  readonly clear: boolean;
  readonly lab: Lab;
  readonly de00: number;
  readonly interval95: readonly [number, number];
  /** The step in one line. */
  readonly words: string;
  /** The reason in one line. */
  readonly why: string;
  /** null when adding can't get there, or there is no pot: `pot_words` then says why. */
  readonly pot: PotStep | null;
  /** What to pour, in one line. */
  readonly pot_words: string;
}

export interface Advice {
  /** The panel nearest to the target so far. */
  readonly now: { readonly panel: string; readonly de00: number };
  /** Best first. */
  readonly suggestions: readonly Suggestion[];
  readonly reach: Reach;
  readonly basis: { readonly panels_used: number; readonly residual_mean_de00: number };
  readonly warnings: readonly Warning[];
}
