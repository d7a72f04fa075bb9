import type { Lab } from '../color/index.ts';
import type { Warning } from '../errors.ts';
import type { PotMix } from '../mix/index.ts';
import type { Reach } from './reach.ts';

/** What to pour into the pot for a suggestion. */
export interface PotStep {
  /** ml by tint id and `carrier`, the smallest first. */
  readonly add_ml: Readonly<Record<string, number>>;
  /** The pot with these, without reducer. */
  readonly final_ml: number;
  /** What then reduces it, poured last. */
  readonly reducer_ml: number;
  /** False when the cup is too small: then start from `take_ml` of the pot and add that share of everything. */
  readonly fits: boolean;
  readonly take_ml: number;
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
  /** null when adding to the pot can't get there; left out without a pot. */
  readonly pot?: PotStep | null;
  readonly pot_words?: string;
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
