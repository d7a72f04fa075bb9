import type { CardPatch } from '../card/types.ts';
import type { Lab, WhiteName } from '../color/index.ts';
import type { PointMm, Reading } from '../photo/types.ts';

/** A card patch as read in the photo. */
export interface PatchReading {
  readonly patch: CardPatch;
  readonly reading: Reading;
  /** Which sheet of paper it is on: 0 for the main card, then one number for every strip or card that lies beside it. */
  readonly sheet: number;
  /** Centre of the area read, on the plane of the main card, mm. */
  readonly at_mm: PointMm;
}

/** A panel as read in the photo. */
export interface PanelReading {
  readonly id: string;
  readonly reading: Reading;
  /** Centre of the area read, on the plane of the main card, mm. */
  readonly at_mm: PointMm;
  /** White light that its mean may hold more than its clearest part, see `veilOver`; none when left out. */
  readonly veil?: number;
}

/** How well the card is predicted by corrections that had not seen the patch in question. */
export interface CardCheck {
  readonly mean_de00: number;
  readonly max_de00: number;
  /** Id of the patch with the largest error. */
  readonly worst_patch?: string;
  /** Patches that the correction was fitted to: with a channel at least. */
  readonly patches_used: number;
  /** Those with all channels, which were predicted from the others: the errors are theirs. */
  readonly patches_checked: number;
  readonly patches_left_out: readonly string[];
}

/**
 * Colours of n things as a small ensemble: draw k of every thing shares the errors that the things share.
 * `draws` holds `count` × n × 3 Lab values, row-major; `lab` is their centre.
 */
export interface LabEnsemble {
  readonly white: WhiteName;
  readonly ids: readonly string[];
  readonly lab: readonly Lab[];
  readonly count: number;
  readonly draws: Float64Array;
}
